/** What `work/enquiry.ts` says. */

export const noDay = 'No day: a year, a month and a year, or a day, as 5.2020'
export const dayToCome = 'That day is still to come: look at it again'
export const noKm = 'Whole kilometres or miles only, as 60 000'
export const fittedAfter =
  'Fitted at {km, number} km, and it reads {read, number} km now: one of the two is wrong'
export const otherCustomer = 'This vehicle was brought by {last} before. Is it another customer now?'
export const dues = {
  overdue: 'Belt overdue',
  belt_unknown: 'Age of the belt not known',
  interval_unknown: 'Interval not known',
  soon: 'Belt due soon',
  later: 'Belt not due yet',
} as const
export const declined = 'The customer does not want it'
export const noticed = 'noticed'
export const engine = 'engine'
export const odometer = 'odometer'
export const fittedOn = 'belt fitted on'
export const fittedAt = 'belt fitted at'
export const hardUse = 'hard use'
export const percent = '{n} % of the interval'
export const dueOn = 'due on'
export const dueAt = 'due at'
