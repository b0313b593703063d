"""What `twoturns/ledger/recovery.py` says."""

COMPARE_EACH_GROUP_PAPER_IF = (
    "Compare each group with the paper. If it cannot be read, nothing was changed: the "
    "workshop goes on as it is."
)
RECOVERY_KEY_LETTERS_DIGITS_GOT = "a recovery key has {characters} letters and digits, got {plain}"
RECOVERY_KEY_ONLY_Z = "a recovery key has only A to Z and 2 to 7"
CHARACTER_RECOVERY_KEY_WRONG = "a character of the recovery key is wrong"
