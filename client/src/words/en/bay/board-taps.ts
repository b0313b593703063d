/** What `screens/bay/board-taps.ts` says. */

export const onTheBoard = 'on the board'
export const taken = 'taken'
