/** What `sync/pull.ts` says. */

export const answer = 'The answer'
