/** What `screens/record/call.tsx` says. */

export const theCall = 'The call'
export const takenBy = '{at}, by {person}'
export const nameNotHere = 'somebody whose name is not here'
export const advised = 'advised'
export const theBelt = 'is it due'
export const theySaid = 'they said'
export const warned = 'warned in writing'
export const declined = 'not wanted, on'
export const onlyACall = 'A call that no job was opened for'
export const nobodyOpenedIt =
  'Somebody called, and nobody has opened a job for it: there is no work yet that could be looked at.'
