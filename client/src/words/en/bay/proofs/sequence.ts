/** What `screens/bay/proofs/sequence.tsx` says. */

export const orderOfTheBolts = 'Order of the bolts'
export const front = 'front'
