/** What `screens/bay/take.tsx` says. */

export const lastWritten = 'The last thing in it was written {at}.'
export const lastWrittenBy = '{name} wrote the last thing in it, {at}.'
export const takenOver = 'The job is taken over.'
export const workedLast =
  '{isOwn, select, true {Another phone} other {Somebody else}} worked on this job last'
export const allJobs = 'all jobs'
export const goOnWithIt = 'I go on with it'
export const lookedAtFirst = 'Whatever may have been left half done is looked at first, one thing at a time.'
