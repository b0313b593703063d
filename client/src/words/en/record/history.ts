/** What `screens/record/history.tsx` says. */

export const entryByEntry = 'Entry by entry'
export const entriesCaption = 'All {held} entries: who, when, and how they stand'
export const entries = 'Entries'
export const record = 'Record'
export const what = 'What'
export const who = 'Who'
export const device = 'Device'
export const byItsClock = 'By its clock'
export const cameIn = 'Came in'
export const stands = 'Stands'
export const noneYet = 'none yet'
export const nameNotHere = 'name not here'
