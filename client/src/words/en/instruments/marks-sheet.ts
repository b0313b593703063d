/** What `instruments/marks-sheet.ts` says. */

export const hub = 'Cross on the hub'
export const hubHint = 'Its very middle. Where a bolt stands proud: the middle of its foot.'
export const tip = 'Cross on a tooth tip'
export const tipHint = 'Some {span} teeth from the mark, on either side of it.'
export const otherTip = 'Cross on the other tip'
export const otherTipHint = 'Count {span} teeth on, past the mark. The same spot of that tooth.'
export const mark = 'Cross on the mark'
export const markHint = 'The mark on the wheel.'
export const pointer = 'Cross on the pointer'
export const pointerHint = 'The fixed mark or edge that the wheel is set by.'
export const farTip = 'Cross on a far tooth tip'
export const farTipHint =
  'Five taps do not show whether the photo is square on. Across the wheel from the first tip.'
export const otherFarTip = 'Cross on another far tip'
export const otherFarTipHint = 'Across the wheel from the second tip.'
