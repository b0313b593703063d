/** What `screens/bay/take.tsx` says. */

export const lastThingInItWasWritten =
  'The last thing in it was written {at, date, medium}, {at, time, short}.'
export const jobIsTakenOver = 'The job is taken over.'
export const anotherPhone = 'Another phone'
export const somebodyElse = 'Somebody else'
export const workedOnThisJobLast = '{before} worked on this job last'
export const allJobs = 'all jobs'
export const iGoOnWithIt = 'I go on with it'
export const whateverMayHaveBeenLeft =
  'Whatever may have been left half done is looked at first, one thing at a time.'
