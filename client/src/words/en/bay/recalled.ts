/** What `screens/bay/recalled.tsx` says. */

export const lotIsRecalled = 'Lot {lot} is recalled.'
export const inThisEngineFitAnother =
  ' {because} In this engine: {found}. Fit another, or call the owner, who may take it over.'
export const thisProcedureWasWithdrawn = 'This procedure was withdrawn.'
export const fitAnother = 'Fit another'
export const itsPriceIsShownFirst = 'its price is shown first'
export const doAgain = 'Do {number} again'
