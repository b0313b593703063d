/** What `screens/record/job.tsx` says. */

export const readingTheJob = 'Reading the job.'
export const notHereYet = 'The job is not here yet'
export const vehicle = 'The vehicle'
