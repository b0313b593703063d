/** What `parts/board.tsx` says. */

export const inTheEngineBay = 'in the engine bay'
export const onTheBoard = 'on the board'
export const lost = 'lost'
