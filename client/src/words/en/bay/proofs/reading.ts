/** What `screens/bay/proofs/reading.tsx` says. */

export const noFigureYet = 'No figure yet'
export const countFirst = 'count first'
export const lookAtIt = 'look at it'
export const countThenType = 'Count them, then type'
export const windowAndTool = '{window}{hasTool, select, true {, read with {tool}} other {}}'
export const again = 'again'
export const inTheWindow = 'In the window.{hasTool, select, true { Read with {tool}.} other {}}'
export const measureAgain = 'Measure again'
export const notSigned = 'The step cannot be signed with this figure.'
export const notSignedHint =
  "Measure again. {fail, select, true {If it stays so, the key 'it is not like that' leads to what is wrong and what to do.} other {If it stays so, add a note for the owner.}}"
