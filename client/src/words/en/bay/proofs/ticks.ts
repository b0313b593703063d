/** What `screens/bay/proofs/ticks.tsx` says. */

export const toolLost = '{label} is lost.'
export const toolLostHint = 'It cannot be counted. Add a note for the owner.'
export const toolOut = '{label} is still in the engine bay.'
export const toolOutHint =
  'Bring it back and hang it on the tool board, behind the head band. Then count again.'
export const allAreHere = 'All {all} are here'
export const toolsToCount = 'Tools to count'
export const toBeTicked = 'To be ticked'
export const tapTools = 'Tap each tool that hangs in its place.'
export const tapParts = 'Tap each part that lies here.'
