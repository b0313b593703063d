/**
 * What `ledger/checkpoint` says, here and on the server.
 * Written by `python -m twoturns.words.phone`: change the server's catalogue, not this.
 */

export const badCheckpointHint =
  "Do not go by this checkpoint. If it came from the workshop itself, compare the fingerprint on paper and keep both checkpoints: the workshop's key or its ledger was replaced."
export const notACheckpoint = 'not a checkpoint: origin, size and root expected'
export const otherOrigin = 'the checkpoint is of {origin}'
export const notSigned = 'the workshop key did not sign the checkpoint'
