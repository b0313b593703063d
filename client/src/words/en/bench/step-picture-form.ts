/** What `screens/bench/step-picture-form.tsx` says. */

export const picture = 'Picture at this step'
export const which = 'Which picture'
export const none = 'None'
export const putInFirst = 'This draft has no picture yet: put one in under Pictures.'
export const remember = 'Line to remember it by'
export const comes = 'The picture comes.'
export const tools = { crop: 'Draw what is shown', arrow: 'Draw the arrow, tail to tip' } as const
export const takeOff = { crop: 'Show all of it', arrow: 'Take the arrow off' } as const
export const figures = {
  left_percent: 'Shown from the left, %',
  top_percent: 'Shown from above, %',
  width_percent: 'Width shown, %',
  height_percent: 'Height shown, %',
  x_percent: 'Tip from the left, %',
  y_percent: 'Tip from above, %',
  angle_deg: 'Points to, degrees (0 right, 90 up)',
} as const
