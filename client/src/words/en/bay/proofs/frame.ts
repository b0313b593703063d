/** What `screens/bay/proofs/frame.tsx` says. */

export const back = 'back'
export const itIsNotLikeThat = 'it is not like that'
