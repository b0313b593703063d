"""What `twoturns/store/generations.py` says."""

BACKUP_AT_WORK = "another backup is at work in {folder}"
BACKUP_AT_WORK_HINT = "Let it come to its end, then begin this one again."
HOLDS_NO_LEDGER = "{path} holds no ledger"
FIRST_RECORD_UNREADABLE = "the first record of the ledger cannot be read"
TAKE_ANOTHER_GENERATION = (
    "Take another generation of the backup: twoturns restore says which there are."
)
LEDGER_READS_OTHERWISE = "the ledger was written to {folder}, and reads back otherwise"
DISK_IS_FAILING = "The disk that was written to is failing: take another."
