/** What `screens/bay/found/customers-word.tsx` says. */

export const whatDoTheySay = 'What does the customer say?'
export const chooseAbove = 'Choose above'
export const yesOrNo = 'yes or no'
export const signAbove = 'The customer signs above'
export const keepIt = { yes: 'Keep the yes', no: 'Keep the no' } as const
export const isKept = 'The customer’s word is kept.'
export const toWhat = 'What the yes is to'
export const yesTo = 'yes to this'
export const notTo = 'not this'
export const signed = 'The customer’s signature'
