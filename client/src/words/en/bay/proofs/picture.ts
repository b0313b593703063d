/** What `screens/bay/proofs/picture.tsx` says. */

export const photoJustTaken = 'The photo just taken'
export const photoAtFullSize = 'The photo at full size'
