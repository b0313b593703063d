/** What `screens/audit/trace.tsx` says. */

export const readingTheJobs = 'Reading the jobs.'
export const traceALotOrATool = 'Trace a lot or a tool'
export const lotsThatWereFitted = 'Lots that were fitted'
export const tools = 'Tools'
export const noneYet = 'None yet.'
export const lot = 'Lot {name}'
export const recalled = ' Recalled {at}: {because}'
export const jobsClosedApproved =
  '{rows, plural, one {One job} other {# jobs}}, {closed} closed, {approved} approved.{recall}'
export const lineThatStopsHasNot =
  'A line that stops has not arrived. Those that left without being approved stand first.'
export const itsChecks = 'Its checks'
export const once = 'once'
export const readings = '{times} readings'
export const plateNotHere = 'plate not here'
export const stillOpen = 'still open'
export const notApproved = 'not approved'
export const takeTheAway = 'Take {rows, plural, one {the one} other {the #}} away'
export const packingOf = 'Packing {taken} of {rows}'
