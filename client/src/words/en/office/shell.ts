/** What `screens/office/shell.tsx` says. */

export const rooms = {
  desk: 'The desk',
  audit: "The auditor's view",
  bay: 'At the engine',
} as const
export const titleOf = '{page} · Two Turns'
export const twoTurns = 'Two Turns'
export const pages = 'Pages'
export const signOut = 'Sign out'
export const timesIn = 'Times are in UTC{zone, select, UTC {} other {; this device’s clock is at {zone}}}'
export const licences = 'Licences'
export const dealtWith = 'It has been dealt with'
export const writtenDown = 'I have written it down'
