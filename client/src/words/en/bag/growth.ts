/**
 * What `bag/growth` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const keptCheckpoint = 'the checkpoint that was kept'
export const consistencyProof = 'the consistency proof'
export const twoLedgersHint = 'Keep both, and ask the workshop. One of the two was shown to one reader only.'
export const otherRoot = "at {size} records it has another root than the bag's: there are two ledgers"
export const growthNotProvenHint =
  "Open /api/consistency?from={old}&to={new} at the workshop's address: it answers whoever asks, without signing in. Keep what it says as a file and give that (--consistency FILE), or ask the workshop for a bag made since that checkpoint (export --since)."
export const growthNotProven =
  'that the ledger of {new} records grew out of the one of {old}: growth not proven'
export const otherBeginning = 'the ledger of {new} records does not begin with the {old}: two ledgers'
export const badProofAnswerHint = 'Give the JSON that /api/consistency answered, as it was.'
export const badProofAnswer = 'it is not an answer of /api/consistency'
export const notSigned = 'no key of this workshop signed it'
export const malformedProof = 'it has not the form of a proof between the two sizes'
