/** What `screens/audit/index.tsx` says. */

export const find = 'Find'
export const photos = 'Photos'
export const jobs = 'Jobs'
export const samples = 'Samples'
export const findings = 'Findings'
export const trace = 'Trace'
export const ledger = 'Ledger'
export const findAJob = 'Find a job'
