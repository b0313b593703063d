/** What `screens/bay/enquiry/due.tsx` says. */

export const titles = {
  overdue: 'The belt is overdue',
  belt_unknown: 'It counts as due now',
  interval_unknown: 'Whether it is due is not known',
  soon: 'The belt is due soon',
  later: 'The belt is not due yet',
} as const
export const dueAt = 'due at'
export const dueOn = 'due on'
export const driven = 'driven'
export const kmADay = '{km, number, ::.0} km a day'
export const noNumber = 'Without a telephone number it is read out, or given on paper.'
export const sendIt = 'Send it as a message'
export const goOn = 'Go on'
export const warnedSo = 'They were warned so'
export const toTheEnd = 'to the end of the call'
export const warnInWriting = 'Warn in writing'
export const makersDataDecide = 'The vehicle maker’s data for this engine decide.'
