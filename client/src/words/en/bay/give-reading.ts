/** What `screens/bay/give-reading.tsx` says. */

export const bySound = 'by the sound of the belt'
export const byMarks = 'by marks on a photo'
export const byPhone = 'by the phone on the tool'
export const byHand = 'by hand'
