/** What `screens/desk/found-drafts.ts` says. */

export const sayWhat = 'Say what is to be done.'
export const wholeMinutes = 'Whole minutes, from 1 up; leave it empty where nobody knows.'
export const sayWhy = 'Say how it is settled: it is read for as long as the job is kept.'
export const isPast = 'That time is past. Promise a later one.'
export const nothingSaid = 'Say who does it, when it is promised, or both.'
export const sayFound = 'Say what was found: the customer is asked by these words.'
