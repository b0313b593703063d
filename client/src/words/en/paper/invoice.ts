/** What `screens/paper/invoice.tsx` says. */

export const notHere = 'erased, or not on this device'
export const title = 'Facts for the invoice'
export const noPrices = 'Counted out of the job’s record. There is no price here: the workshop adds its own.'
export const saveCsv = 'Save as CSV'
export const csvRule =
  'Opens in any table program. What begins like a formula and is no number has an apostrophe put before it, so that no program runs it.'
export const item = 'item'
export const which = 'which'
export const howMuch = 'how much'
export const article = 'article {article}'
export const lot = 'lot {lot}'
