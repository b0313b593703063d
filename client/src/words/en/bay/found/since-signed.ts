/** What `screens/bay/found/since-signed.tsx` says. */

export const agreedSince = 'Agreed since the driver signed'
export const because =
  'The signature covers what stood when it was given. This came later, so it needs a word of its own.'
export const signAbove = 'The driver signs above'
export const sayAbove = 'Say it above'
export const thisIsSigned = 'This is signed'
export const keepTheWord = 'Keep their word'
export const isKept = 'The customer’s word is kept.'
export const notHere = 'They are not here to sign'
export const howTheyTookIt = 'What they said when they heard that it is done, and how'
