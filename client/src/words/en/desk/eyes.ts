/** What `screens/desk/eyes.tsx` says. */

export const nothingAsksForEyes = 'Nothing asks for eyes'
export const eyesFirst = 'Eyes first'
export const moreJobs = 'More jobs'
export const nothingToAsk = '{open} in work with nothing to ask'
export const approved = '{approved} approved'
export const besides = 'Besides: {words}.'
export const job = 'The job'
export const openTheJob = 'Open the job'
export const isStillHere = 'is still here'
export const hasLeft = 'has left'
export const followItUp = 'Follow it up'
export const asking = 'Asking the workshop for its jobs.'
