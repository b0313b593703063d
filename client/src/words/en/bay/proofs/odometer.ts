/** What `screens/bay/proofs/odometer.tsx` says. */

export const whichIsTrue = 'Which is true?'
export const asItStands = 'As it stands on the dash, in {inMiles, select, true {miles} other {km}}'
export const typeAnew = 'It was mistyped: type it anew'
export const noFigure = 'No figure yet'
export const figureWrong =
  '{wrong, select, tooFar {more than {most, number} km} noNumber {whole figures only, as 181 220} other {as it stands}}'
export const lookAgain = 'Look again'
export const answerAbove = 'Answer above'
