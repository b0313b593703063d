/** What `screens/paper/stickers.tsx` says. */

export const noDay = 'day not known'
export const noOdometer = 'odometer not read'
export const lotOf = '{label}, lot {lot}'
export const noLot = 'no lot noted'
export const notFinished =
  'No sticker yet: the job has not come to the end at which the belt counts as changed. Nothing was printed.'
export const timingBeltChanged = 'Timing belt changed'
export const beltChanged = 'Auxiliary belt changed'
export const next = 'Next change by'
export const or = 'or at'
export const oldParts = 'Old parts'
export const noPlate = 'plate not here'
export const keepThem = 'Do not wash, cut or throw away: kept for the warranty, or given to the customer.'
export const newLots = 'New in the engine: {lots}'
export const wasteCoolant = 'Waste coolant'
export const noCoolant = 'This job has noted no coolant.'
export const wasteRule =
  'Into the closed can for waste coolant, never into a drain or among oil. Local rules hold.'
