/** What `work/closed-facts.ts` says. */

export const dueAt =
  '{hasDay, select, true {{day, date, medium}} other {no date}}{hasKm, select, true { or at {km}} other {}}'
export const headOfTheRecord = 'head of the record'
export const lotsLabel = 'lots'
export const nextDue = 'next due'
export const noLots = 'none'
export const odometerLabel = 'odometer'
export const ofHold = '{count} of {numbered} hold{passed, plural, =0 {} other {, # passed by}}'
export const photosLabel = 'photos'
export const procedureLabel = 'procedure'
export const stepsLabel = 'steps'
export const vehicleLabel = 'vehicle'
export const workshopLabel = 'workshop'
