/** What `work/sets.ts` says. */

export const types = {
  locking_set: 'locking set',
  kit: 'kit of parts',
} as const
