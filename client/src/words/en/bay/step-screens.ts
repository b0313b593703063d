/** What `screens/bay/step-screens.tsx` says. */

export const noSuchStep = 'This procedure has no such step'
export const takeOffTheBoard = 'Take {left} off the board'
export const hangOnTheBoard = 'Hang {left} on the board'
export const holds = '{number} holds.'
