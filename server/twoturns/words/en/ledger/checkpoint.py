"""What `twoturns/ledger/checkpoint.py` says."""

DO_NOT_GO_CHECKPOINT_IF = (
    "Do not go by this checkpoint. If it came from the workshop itself, compare the "
    "fingerprint on paper and keep both checkpoints: the workshop's key or its ledger "
    "was replaced."
)
NOT_CHECKPOINT_ORIGIN_SIZE_ROOT = "not a checkpoint: origin, size and root expected"
THE_CHECKPOINT_IS_OF = "the checkpoint is of {origin}"
WORKSHOP_KEY_DID_NOT_SIGN = "the workshop key did not sign the checkpoint"
