"""What `twoturns/store/generations.py` says."""

ANOTHER_BACKUP_WORK = "another backup is at work in {folder}"
LET_COME_END_THEN_BEGIN = "Let it come to its end, then begin this one again."
HOLDS_NO_LEDGER = "{path} holds no ledger"
FIRST_RECORD_LEDGER_CANNOT_READ = "the first record of the ledger cannot be read"
TAKE_ANOTHER_GENERATION_BACKUP = (
    "Take another generation of the backup: twoturns restore says which there are."
)
