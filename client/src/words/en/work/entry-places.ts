/** What `work/entry-places.ts` says. */

export const entriesInTheWorkshop = '{workshop} entries in the workshop'
export const alsoBackedUp = '{backup} of them backed up'
export const inThisBrowserOnly = '{here} in this browser only'
