/** What `screens/bay/proofs/finder.tsx` says. */

export const lamp = 'lamp'
