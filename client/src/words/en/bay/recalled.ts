/** What `screens/bay/recalled.tsx` says. */

export const lotRecalled = 'Lot {lot} is recalled.'
export const lotRecalledHint =
  ' {because} In this engine: {found}. Fit another, or call the owner, who may take it over.'
export const procedureWithdrawn = 'This procedure was withdrawn.'
export const fitAnother = 'Fit another'
export const priceFirst = 'its price is shown first'
export const doAgain = 'Do {number} again'
