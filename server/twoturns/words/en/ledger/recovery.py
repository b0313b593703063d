"""What `twoturns/ledger/recovery.py` says."""

BAD_RECOVERY_KEY_HINT = (
    "Compare each group with the paper. If it cannot be read, nothing was changed: the "
    "workshop goes on as it is."
)
WRONG_LENGTH = "a recovery key has {characters} letters and digits, got {plain}"
WRONG_ALPHABET = "a recovery key has only A to Z and 2 to 7"
WRONG_CHARACTER = "a character of the recovery key is wrong"
