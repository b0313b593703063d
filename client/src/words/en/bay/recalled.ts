/** What `screens/bay/recalled.tsx` says. */

export const recallStands =
  '{fact} {because} In this engine: {found}. Fit another, or call the owner, who may take it over.'
export const withdrawalStands = '{fact} {because}'
export const fitAnother = 'Fit another'
export const priceFirst = 'its price is shown first'
export const doAgain = 'Do {number} again'
