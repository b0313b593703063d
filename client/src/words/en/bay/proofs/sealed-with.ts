/** What `screens/bay/proofs/sealed-with.tsx` says. */

export const sealedWith = 'Signed with it: {given}.'
