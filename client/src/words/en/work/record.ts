/** What `work/record.ts` says. */

export const answer = 'Answer'
export const whyPassed = 'Why it was passed by'
export const whatWasFound = 'what was found'
