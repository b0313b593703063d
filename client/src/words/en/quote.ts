/** What `screens/quote.tsx` says. */

export const forAQuote = 'For a quote'
export const times = '{count} × {label}'
export const kit = 'Kit: {parts}'
export const singleUse = 'New once taken out: {parts}'
export const coolant = 'Coolant: {litres} L'
export const hours = 'Work: {says}'
export const outOf = 'Parts and litres by {name}, edition {edition}. The maker’s data decide.'
