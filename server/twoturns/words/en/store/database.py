"""What `twoturns/store/database.py` says."""

LEDGERS_FILE_DAMAGED = "the ledger's file is damaged: {error}"
