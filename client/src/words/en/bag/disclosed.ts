/**
 * What `bag/disclosed` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const blobUnexplained = 'an entry names the blob {blob}, and nothing is said of it'
export const bytesNotSigned = 'its bytes hash to {found}: they are not those that were signed'
export const blobIsHere = 'disclosure.json says {state} of this blob, and here it is'
export const misplaced = 'its place in the bag is {right}'
export const blobUnnamed = 'no entry of the job names the blob {blob}'
export const blobMissing = 'the blob {blob} is called {state}, and the bag does not hold it'
export const erasureUnsigned = 'the blob {blob} is called erased, and no signed statement says so'
