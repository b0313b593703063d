"""What `ledger/checkpoint` says, here and on the phone."""

BAD_CHECKPOINT_HINT = (
    "Do not go by this checkpoint. If it came from the workshop itself, compare the "
    "fingerprint on paper and keep both checkpoints: the workshop's key or its ledger "
    "was replaced."
)
NOT_A_CHECKPOINT = "not a checkpoint: origin, size and root expected"
OTHER_ORIGIN = "the checkpoint is of {origin}"
NOT_SIGNED = "the workshop key did not sign the checkpoint"
