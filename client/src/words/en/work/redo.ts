/** What `work/redo.ts` says. */

export const to = '{first} to {last}'
export const and = '{parts} and {last}'
export const thenTheJobEnds = 'Then the job ends: {name}.'
export const allHold = 'All seals still hold.'
export const signAgain =
  'Then sign {numbers} again.{rest, select, true { The other seals still hold.} other {}}'
export const newParts = 'New again, never the old ones: {said}.'
export const noSealIsBroken = 'No seal is broken.'
export const sealsAreBroken = '{n, plural, one {# seal is} other {# seals are}} broken: {numbers}.'
export const redoTitle = 'Part of the work is to be done again'
export const nothingIsBroken = 'Nothing is broken'
