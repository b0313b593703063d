"""What `twoturns/store/restore.py` says."""

NO_LEDGER = "no ledger"
NO_LEDGER_RECORDS = "no ledger of {size} records"
NAME_FOLDER_TWOTURNS_BACKUP = (
    "Name the folder that twoturns backup filled. Ledgers in this one: {listed}."
)
