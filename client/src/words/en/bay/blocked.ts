/** What `screens/bay/blocked.tsx` says. */

export const noWayOn = 'There is no way on from here'
export const addANote = 'add a note'
export const orderOfWork = 'Order of work'
export const orCloseTheJob = 'or close the job'
export const callOwner = 'The owner decides how it goes on. Call the owner before anything else is moved.'
