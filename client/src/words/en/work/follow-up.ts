/** What `work/follow-up.ts` says. */

export const how = {
  told: 'told',
  not_reached: 'not reached',
  answered: 'answered',
  replaced: 'replaced',
  retightened: 'tightened again',
  accepted: 'taken over as it is',
} as const
export const verdicts = {
  outside: 'outside its limits',
  unknown: 'not known',
  inside: 'inside its limits',
} as const
export const overdue = 'It was to be done by {until}: overdue for {days, plural, one {a day} other {# days}}.'
export const byThen = 'To be done by {until}.'
export const between = 'limits {low} to {high}'
export const atLeast = 'at least {low}'
export const atMost = 'at most {high}'
export const noLimits = 'no limits asked for'
export const fastener =
  '{value} {unit} {isKnown, select, true {was really {actual} {unit}} other {was set outside of what was checked: nobody knows what it was}}, {limits}{verdict, select, outside {: outside} inside {: inside} other {}}'
export const partOfLot = '{part}, lot {lot}'
export const done = 'done'
export const toDo = 'to do'
export const head = {
  plate: 'Plate',
  vin: 'VIN',
  engine: 'Engine',
  km: 'km',
  miles: 'miles',
  customer: 'Customer',
  phone: 'Telephone',
  begun: 'Job begun',
  state: 'State',
  said: 'Last said',
  on: 'On',
  by: 'By',
  what: 'Part or fastener',
  lot: 'Lot',
  value: 'Written down',
  unit: 'Unit',
  actual: 'Was really',
  low: 'Least',
  high: 'Most',
  verdict: 'Verdict',
} as const
