/** What `screens/bay/not-here.tsx` says. */

export const thisJobIsNot = 'This job is not on this phone'
export const itMayCome = 'It may come with the next signal.'
export const itsProcedureIsNot = 'Its procedure is not on this phone yet'
export const itComesWithTheNext = 'It comes with the next signal. Nothing can be done in this job before.'
export const updateTheAppToWork = 'Update the app to work on this job'
export const itsProcedureWasMade =
  'Its procedure was made for a newer app. Within reach of the workshop, close all windows of this one and open it again; what is here stays.'
export const allJobs = 'all jobs'
export const whereItAllIs = 'Where it all is'
