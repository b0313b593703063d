/** What `screens/bay/customer-lines.tsx` says. */

export const telephone = 'Telephone'
export const customer = 'Name'
export const privateValues = 'Name and telephone are private values: they can be erased later.'
