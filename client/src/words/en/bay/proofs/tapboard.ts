/** What `screens/bay/proofs/tapboard.tsx` says. */

export const pictureLabel = 'The photo with what was tapped on it'
