/** What `screens/audit/index.tsx` says. */

export const pages = {
  find: 'Find',
  jobs: 'Jobs',
  samples: 'Samples',
  findings: 'Findings',
  photos: 'Photos',
  trace: 'Trace',
  ledger: 'Ledger',
} as const
export const findAJob = 'Find a job'
