/** What `screens/bay/proofs/signature.tsx` says. */

export const again = 'again'
export const thisIsSigned = 'This is signed'
export const signAbove = 'Sign above'
export const privateValue = 'The drawing is a private value: it can be erased later, the record of it stays.'
export const nowSign = 'It was read'
export const readFirst = 'Hand the phone over: this is read before it is signed.'
