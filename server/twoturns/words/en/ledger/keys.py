"""What `twoturns/ledger/keys.py` says."""

SEED_BYTES_GOT = "a seed has {key_bytes} bytes, got {seed}"
TAKE_KEY_FILE_WRITTEN_MAKE = "Take the key file as it was written, or make a new key."
