/** What `work/proofs.ts` says. */

export const photo = 'photo'
export const pickedPhoto = 'picked photo'
export const signed = 'signed'
