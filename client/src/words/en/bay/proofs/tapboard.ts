/** What `screens/bay/proofs/tapboard.tsx` says. */

export const photoWithWhatWasTapped = 'The photo with what was tapped on it'
