/** What `screens/bay/tapped-board.tsx` says. */

export const toolBoard = 'Tool board'
export const onTheBoard = 'on the board'
export const taken = 'taken'
