/** What `screens/bench/drive-view.tsx` says. */

export const noDrive = 'The text has no drive that can be read yet: write it, or mend what the check found.'
export const drive = 'Drive'
export const means =
  'Seen from the belt, mm from the middle of the crankshaft. Drag a wheel, or type what was measured: the workshop computes how the belt fits.'
export const sketch = 'The drive to scale: its wheels can be dragged'
export const fits = 'The belt fits, and all that is stated agrees.'
export const length = 'Length of the belt at its pitch line: {mm} mm'
export const wrap = '{id}: the belt lies on {deg} degrees of it'
export const wrapTeeth = '{id}: the belt lies on {deg} degrees of it, {teeth} teeth in mesh'
export const counted = 'From the mark of {start} to that of {end}: {teeth} teeth along the tight side'
export const takeNotch = 'Take {deg} degrees as the notch'
export const belt = 'Belt'
export const right = 'To the right, mm'
export const up = 'Up, mm'
export const ofBelt = {
  teeth: 'Teeth',
  pitch_mm: 'From tooth to tooth, mm',
  length_mm: 'Length, mm',
  width_mm: 'Width, mm',
  back_mm: 'Pitch line to back, mm',
  pitch_line_mm: 'Pitch line above the teeth, mm',
} as const
export const ofWheel = {
  teeth: 'Teeth',
  diameter_mm: 'Diameter, mm',
  eccentric_mm: 'Throw, mm',
  notch_deg: 'Notch, degrees (0 right, 90 up)',
  within_deg: 'Notch within, degrees',
  mark_deg: 'Mark, degrees (0 right, 90 up)',
} as const
export const addBehind = 'Add a roller behind it'
export const rollerLabel = 'ROLLER'
