/** What `work/permits.ts` says. */

export const highVoltage = 'high voltage'
export const worksAlone = 'works without a second person'
export const roadside = 'works at the roadside'
export const roadTest = 'road tests'
export const lifts = 'vehicle lifts'
export const ended = 'ended on {on}: {because}'
export const from = 'from {on} on'
export const withoutEnd = 'holds, without an end'
export const over = 'is over since {until}: it must not be relied on'
export const until =
  'holds until {until}{soon, select, true {, {n, plural, =0 {its last day} one {one day more} other {# days more}}} other {}}'
