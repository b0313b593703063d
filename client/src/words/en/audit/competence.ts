/** What `screens/audit/competence.tsx` says. */

export const title = 'Who worked, and what they might do'
export const line =
  '{who}, {role}, {first, select, true {on} other {from}} {from}{first, select, true {} other { to {to}}}'
export const roles = {
  owner: 'owner',
  mechanic: 'mechanic',
  auditor: 'auditor',
  console: 'the workshop’s computer',
} as const
export const noRole = 'not invited by what is here'
export const permits = 'Permits valid on {day}: {permits}'
export const noPermits = 'No permit that is valid on {day} is stated.'
export const means =
  'Days are those of the device’s clock, in UTC. A permit is the workshop’s statement: ask for the paper.'
