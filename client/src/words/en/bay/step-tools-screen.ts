/** What `screens/bay/step-tools-screen.tsx` says. */

export const takeThese = 'Take these off the board'
export const hangThese = 'Hang these on the board'
export const holds = '{number} holds.'
export const howMany = 'of {tools} {way, select, true {taken} other {hung back}}'
export const isOnTheBoard = 'is on the board'
export const isStillOut = 'is still out'
export const tapItAbove = 'tap it above'
export const of = '{done} of {tools}'
export const goOnAbove = 'go on'
export const tapAsTaken = 'Tap each tool as it is taken.'
export const tapAsHung = 'Tap each tool as it hangs on the board again.'
