/** What is said of a call, in the bay, at the desk and in the record. */

export const taken = 'taken'
export const customer = 'customer'
export const telephone = 'telephone'
export const plate = 'plate'
export const notSaid = 'not said'
export const warnedSo = 'Warned in writing'
export const theyDoNotWantIt = 'The customer does not want it'
export const declinedOn = 'The customer did not want it, on {at}.'
export const ways = {
  call: 'on the telephone',
  message: 'by a message',
  here: 'here, in person',
} as const
export const keepTheNo = 'Keep their no'
export const inTheirWords = 'In their words, if there are any'
