/** What `screens/bay/tapped-board.tsx` says. */

export const toolBoard = 'Tool board'
