/** What `work/permits.ts` says. */

export const permits = {
  high_voltage: 'high voltage',
  works_alone: 'works without a second person',
  roadside: 'works at the roadside',
  road_test: 'road tests',
  lifts: 'vehicle lifts',
} as const
export const ended = 'ended on {on}: {because}'
export const from = 'from {on} on'
export const withoutEnd = 'holds, without an end'
export const over = 'is over since {until}: it must not be relied on'
export const until =
  'holds until {until}{soon, select, true {, {n, plural, =0 {its last day} one {one day more} other {# days more}}} other {}}'
