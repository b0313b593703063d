/** What `screens/bay/proofs/tool-tag.tsx` says. */

export const pointAtTheTag = 'Point at the tag of the tool.'
export const isInTheHand = 'is in the hand'
export const goOn = 'Go on'
export const noTagYet = 'No tag yet'
export const notThisOne = 'Not this one'
export const takeAnother = 'take another'
export const asItIsStamped = 'as it is stamped'
export const tagOnTheTool = 'Tag on the tool'
