/** What `screens/record/found.tsx` says. */

export const whatWasFound = 'What was found beside the work'
export const notNoted = 'seen, and not noted'
export const notedBy = '{place}, noted by {who}, {at}'
export const settled = 'Settled:'
export const customerSays = 'The customer says {answer}, {how}.'
export const writtenBy = 'Written by {who}, {at}.'
export const customersSignature = 'The customer’s signature'
export const extra = 'Extra work:'
export const read = '{value} {unit}'
export const itsPhoto = 'what was found'
