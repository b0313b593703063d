/** What `work/record.ts` says. */

export const answer = 'Answer'
export const whyItWasPassedBy = 'Why it was passed by'
