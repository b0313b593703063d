/** What `screens/record/fetched.ts` says. */

export const unknownJob = 'This job is not in this browser yet.'
export const unknownJobHint = 'Wait for the workshop to be reached, or look for another job.'
export const unknownBundle = 'The procedure of this job is not in this browser yet.'
export const unknownBundleHint = 'Wait for the workshop to be reached.'
