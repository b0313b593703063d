/** What `screens/bay/give-reading.tsx` says. */

export const byTheSoundOfTheBelt = 'by the sound of the belt'
export const byMarksOnAPhoto = 'by marks on a photo'
export const byThePhoneOnTheTool = 'by the phone on the tool'
export const byHand = 'by hand'
