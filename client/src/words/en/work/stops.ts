/** What `work/stops.ts` says. */

export const lotRecalled = 'Lot {lot} is recalled'
export const lotRecalledHint =
  '{found} of this lot is in this engine. Call the owner before the next step. The job is not finished until another is fitted, or the owner takes this one over.'
export const procedureWithdrawn = 'Its procedure was withdrawn'
export const procedureWithdrawnHint =
  'Call the owner before the next step. The job may be stopped and opened anew by another edition.'
