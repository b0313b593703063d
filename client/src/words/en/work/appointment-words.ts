/** What `work/appointment-words.ts` says. */

export const reasons = {
  part: 'a part is missing',
  customer: 'the customer decides',
  other: 'something else',
} as const
export const parked = 'parked: {why}{hasPart, select, true { ({part})} other {}}'
export const promised =
  'promised for {isToday, select, true {{at, time, short} today} other {{at, date, medium}, {at, time, short}}}{isPast, select, true {, which is past} other {}}'
export const promisedOdd = 'promised for {at}'
