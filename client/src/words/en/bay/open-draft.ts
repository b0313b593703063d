/** What `screens/bay/open-draft.ts` says. */

export const vinLabel = 'VIN'
export const plateLabel = 'plate'
export const customerTitle = 'customer'
export const telephone = 'telephone'
