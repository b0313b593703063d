/** What `work/sets.ts` says. */

export const lockingSet = 'locking set'
export const kit = 'kit of parts'
