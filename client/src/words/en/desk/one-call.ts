/** What `screens/desk/one-call.tsx` says. */

export const callOf = 'Call: {name}'
export const somebody = 'somebody'
export const declinedOn = 'The customer did not want it, on {at}.'
export const nothingAdvised = 'Nothing was advised'
export const whoAndWhat = 'Who, and what'
export const taken = 'taken'
export const customer = 'customer'
export const telephone = 'telephone'
export const notSaid = 'not said'
export const warnedSo = 'Warned in writing'
export const theyDoNotWantIt = 'The customer does not want it'
export const ways = {
  call: 'on the telephone',
  message: 'by a message',
  here: 'here, in person',
} as const
export const keepTheNo = 'Keep their no'
export const howDidTheySaySo = 'How did they say so?'
export const inTheirWords = 'In their words, if there are any'
export const theBelt = 'is it due'
export const changeIt = 'Change what was said'
