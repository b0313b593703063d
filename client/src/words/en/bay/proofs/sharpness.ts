/** What `screens/bay/proofs/sharpness.tsx` says. */

export const notTold = 'It cannot be told here how sharp it is.'
export const measuring = 'Its sharpness is measured.'
export const shotBefore = 'Go back to the shot before'
