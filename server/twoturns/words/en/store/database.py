"""What `twoturns/store/database.py` says."""

LEDGER_DAMAGED = "the ledger's file is damaged: {error}"
