/** What `screens/desk/admit.tsx` says. */

export const nameMissing = 'somebody whose name is not here'
export const alsoSpeaksFor = 'Also speaks for {person}.'
export const takeOff = 'Take off'
export const admitAPerson = 'Admit a person'
export const nameUnfit = 'Write the name, as colleagues know it, in at most 200 characters.'
export const admitOnDevice = 'Admit a person on device {device}'
export const admit = 'Admit'
export const admitExplained =
  "The phone then offers that name, and what is written in it counts as that person's. It never speaks for an owner."
export const who = 'Who'
export const somebodyNew = 'somebody new'
export const name = 'Name'
export const privateValue = 'A private value: it can be erased later.'
