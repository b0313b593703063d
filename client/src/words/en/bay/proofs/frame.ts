/** What `screens/bay/proofs/frame.tsx` says. */

export const back = 'back'
