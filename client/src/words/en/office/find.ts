/** What `screens/office/find.tsx` says. */

export const plate = 'Plate'
export const lotOfAPart = 'Lot of a part'
export const tool = 'Tool'
export const plateNotHere = 'plate not here'
export const vinNotHere = 'VIN not here'
export const jobState = '{is_closed, select, true {closed} other {open}}, last heard of {last_received}'
export const findBy = 'Find by'
export const find = 'Find'
export const olderJobs = 'Older jobs'
export const notFound =
  'No job here has that. Look at it letter by letter: 0 and O, 8 and B, 2 and Z look alike.'
