/** What `screens/bay/proofs/photo.tsx` says. */

export const notTaken = 'The picture was not taken.'
export const takeItAgain = 'Take it again.'
export const recordedAsPicked = 'recorded as picked'
export const chooseAPhoto = 'Choose a photo'
export const takeThePhoto = 'Take the photo'
export const restThePhone = 'rest the phone'
export const cameraOpens = 'Camera opens'
export const cameraPicture = 'Camera picture'
