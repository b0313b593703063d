/** What `screens/bay/not-here.tsx` says. */

export const jobMissing = 'This job is not on this phone'
export const jobMissingHint = 'It may come with the next signal.'
export const procedureMissing = 'Its procedure is not on this phone yet'
export const procedureMissingHint = 'It comes with the next signal. Nothing can be done in this job before.'
export const appTooOld = 'Update the app to work on this job'
export const appTooOldHint =
  'Its procedure was made for a newer app. Within reach of the workshop, close all windows of this one and open it again; what is here stays.'
export const allJobs = 'all jobs'
export const whereItAllIs = 'Where it all is'
