"""What `twoturns/store/restore.py` says."""

NO_LEDGER = "no ledger"
NO_LEDGER_OF_SIZE = "no ledger of {size} records"
NO_LEDGER_HINT = "Name the folder that twoturns backup filled. Ledgers in this one: {listed}."
