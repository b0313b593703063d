/** What `screens/desk/today.tsx` says. */

export const reading = 'Asking what came in today'
export const nothing = 'Nothing came in today'
export const jobs =
  '{n, plural, one {One job moved today} other {# jobs moved today}}{isMore, select, true {, and more} other {}}'
export const nothingMeans =
  'What phones keep comes in as soon as they have a line. Jobs of other days stand under Jobs.'
