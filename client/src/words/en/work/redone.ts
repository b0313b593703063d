/** What `work/redone.ts` says. */

export const didNotHold = 'at {at} it did not hold ({says})'
export const openedAgain = 'at {at} it was opened again'
export const step =
  '{number}: {said}. {holds, select, true {It holds now, done at {done}.} other {It does not hold.}}'
