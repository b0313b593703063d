/**
 * What `bag/parse` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const line = 'line {number}: {what}'
export const lastLineNoEnd = 'the last line has no end'
export const notIndexAndRecord = 'it is not an index and a record'
export const indexOutOfOrder = 'index {index} does not come after {records}'
export const malformedProofs = 'it does not have the form of proofs'
export const unreadable = 'it cannot be read: {error}'
export const wrongNodeSize = 'a node has {node} bytes'
export const unknownState = 'it says {state} of {blob}'
export const reasonNotText = 'the reason {reason} is no text'
export const malformedDisclosure = 'it does not have the form of a disclosure'
