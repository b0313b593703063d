/** What `sync/push.ts` says. */

export const namesAndWords = 'names and words'
export const entryOf = 'entry {first} of {all}'
export const entriesToOf = 'entries {first} to {last} of {all}'
