/** What `screens/bay/proofs/code.tsx` says. */

export const typeIt = 'Type it'
export const typeHint = 'Type what is printed instead.'
export const noReader = 'Codes cannot be read in this browser.'
export const orHoldStill = 'or hold the code still'
export const instead = 'instead'
export const cameraPicture = 'Camera picture'
export const cameraOpens = 'The camera opens.'
