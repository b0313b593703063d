/** What `work/refusal.ts` says. */

export const isNotDoneAnyMore = '{asked} is not done any more.'
export const jobGoesToItsEnd = 'The job goes to its end: {name}.'
export const holdsAlready = '{asked} holds already'
export const thereIsNothingToDo = 'There is nothing to do in it.'
export const thereIsNothingToUndoHere = 'There is nothing to undo here'
export const engineIsLikeThatAlready = 'The engine is like that already.'
export const comesLater = '{asked} comes later.'
export const orderOfWorkPutsBeforeIt = 'The order of work puts {first} before it.'
export const itNeedsThis = 'It needs this: {condition}.'
export const now = 'Now: {condition}.'
