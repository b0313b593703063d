/** What `screens/audit/index.tsx` says. */

export const find = 'Find'
export const trace = 'Trace'
export const ledger = 'Ledger'
export const findAJob = 'Find a job'
