/** What `sync/enrol.ts` says. */

export const foreignWorkshop = 'The invitation is from another workshop than this address.'
export const foreignWorkshopHint = 'Open the link of the invitation itself, or ask the owner for a new one.'
export const answer = 'The answer'
