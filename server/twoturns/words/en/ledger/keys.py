"""What `twoturns/ledger/keys.py` says."""

WRONG_SEED_SIZE = "a seed has {key_bytes} bytes, got {seed}"
WRONG_SEED_SIZE_HINT = "Take the key file as it was written, or make a new key."
