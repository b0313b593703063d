/** What `screens/bay/proofs/marks-taps.ts` says. */

export const tapWheel = 'Tap the middle of the wheel'
export const tapWheelHint = 'Roughly: the photo then comes closer.'
export const tapTeeth = 'Tap its teeth, near the mark'
export const tapTeethHint = 'Roughly, on the edge of the wheel.'
export const onceMore =
  '{name, select, hub {The hub} mark {The mark} pointer {The pointer} other {{title}}} once more'
export const secondLook = 'The photo was moved aside. Two looks are truer than one.'
export const of = '{tap} of {taps}'
