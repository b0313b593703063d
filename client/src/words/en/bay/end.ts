/** What `screens/bay/end.tsx` says. */

export const endTheJob = 'End the job'
export const notAnyMore = '{number} {title}: not any more.'
export const now = 'Now: {then}'
export const never = 'Never {words}.'
export const noWayBack =
  'No step leads back into the work from here. What becomes of the vehicle is for the owner to decide: call the owner, then end the job.'
