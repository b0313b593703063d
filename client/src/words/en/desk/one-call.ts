/** What `screens/desk/one-call.tsx` says. */

export const callOf = 'Call: {name}'
export const somebody = 'somebody'
export const nothingAdvised = 'Nothing was advised'
export const whoAndWhat = 'Who, and what'
export const howDidTheySaySo = 'How did they say so?'
export const theBelt = 'is it due'
export const changeIt = 'Change what was said'
