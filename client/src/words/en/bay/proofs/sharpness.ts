/** What `screens/bay/proofs/sharpness.tsx` says. */

export const itCannotBeToldHere = 'It cannot be told here how sharp it is.'
export const itsSharpnessIsMeasured = 'Its sharpness is measured.'
export const goBackToTheShotBefore = 'Go back to the shot before'
