/** What `screens/desk/set-draft.ts` says. */

export const setMissing = 'Write the number that stands on its case.'
export const setTooLong = 'Shorten it to 64 characters.'
export const setTaken =
  '{doubled} is registered already. Give this set another number, and mark it on its case.'
export const labelMissing = 'Write what people call it: its colour, or where it hangs.'
export const tooLong = 'Shorten it to 200 characters.'
export const codeTooLong = 'One engine code is longer than 64 characters. Separate them by commas.'
export const piecesMissing = 'Name one piece at least: what is not named cannot be counted.'
export const tooManyPieces = 'A set has at most {most} pieces. Make two of it.'
