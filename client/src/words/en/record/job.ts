/** What `screens/record/job.tsx` says. */

export const readingTheJob = 'Reading the job.'
export const notHereYet = 'The job is not here yet'
export const vehicle = 'The vehicle'
export const takenOtherwise = 'What holds in place of house rules'
export const atSteps = '{n, plural, one {At step} other {At steps}} {steps}.'
