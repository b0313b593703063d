/** What `screens/bay/proofs/choosing.tsx` says. */

export const chooseAbove = 'Choose above'
export const itIsSo = 'It is so'
export const whatToDoThen = 'What to do then'
export const notLikeThat = 'it is not like that'
export const notWithThis = 'Not with this'
export const notWithThisHint = 'The step cannot be signed while this is so.'
