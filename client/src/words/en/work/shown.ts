/** What `work/shown.ts` says. */

export const onThisPhone = 'on this phone'
export const inTheWorkshop = 'in the workshop'
export const backedUp = 'backed up'
