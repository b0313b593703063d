/** What `instruments/marks-sheet.ts` says. */

export const crossOnTheHub = 'Cross on the hub'
export const itsVeryMiddleWhere = 'Its very middle. Where a bolt stands proud: the middle of its foot.'
export const crossOnAToothTip = 'Cross on a tooth tip'
export const someTeethFromTheMark = 'Some {span} teeth from the mark, on either side of it.'
export const crossOnTheOtherTip = 'Cross on the other tip'
export const countTeethOnPast = 'Count {span} teeth on, past the mark. The same spot of that tooth.'
export const crossOnTheMark = 'Cross on the mark'
export const markOnTheWheel = 'The mark on the wheel.'
export const crossOnThePointer = 'Cross on the pointer'
export const fixedMarkOrEdge = 'The fixed mark or edge that the wheel is set by.'
export const crossOnAFarToothTip = 'Cross on a far tooth tip'
export const fiveTapsDoNotShow =
  'Five taps do not show whether the photo is square on. Across the wheel from the first tip.'
export const crossOnAnotherFarTip = 'Cross on another far tip'
export const acrossTheWheelFrom = 'Across the wheel from the second tip.'
