/** What `work/refusal.ts` says. */

export const notAnyMore = '{asked} is not done any more.'
export const goesToEnd = 'The job goes to its end: {name}.'
export const holdsAlready = '{asked} holds already'
export const holdsAlreadyHint = 'There is nothing to do in it.'
export const nothingToUndo = 'There is nothing to undo here'
export const nothingToUndoHint = 'The engine is like that already.'
export const comesLater = '{asked} comes later.'
export const comesLaterHint =
  'The order of work puts {first} before it: {title}.{hasBecause, select, true { {because}} other {}}'
export const itNeedsThis = 'It needs this: {condition}.'
export const now = 'Now: {condition}.'
