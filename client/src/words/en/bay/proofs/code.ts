/** What `screens/bay/proofs/code.tsx` says. */

export const typeIt = 'Type it'
export const typeWhatIsPrintedInstead = 'Type what is printed instead.'
export const codesCannotBeRead = 'Codes cannot be read in this browser.'
export const back = 'back'
export const orHoldTheCodeStill = 'or hold the code still'
export const instead = 'instead'
export const cameraPicture = 'Camera picture'
export const cameraOpens = 'The camera opens.'
