/** What `screens/bay/closed-jobs.tsx` says. */

export const endOf = '{vehicle}: {end}'
export const closedJobs = '{n} closed {n, plural, one {job} other {jobs}}'
export const closed = 'Closed jobs'
export const openJobs = 'open jobs'
export const openAJob = 'Open a job'
