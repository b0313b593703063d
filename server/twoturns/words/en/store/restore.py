"""What `twoturns/store/restore.py` says."""

NOT_EMPTY = "{folder} is not empty"
NAME_NEW_FOLDER_STAYS = "Name a new folder: what is in this one stays as it is."
NO_LEDGER = "no ledger"
NO_LEDGER_RECORDS = "no ledger of {size} records"
NAME_FOLDER_TWOTURNS_BACKUP = (
    "Name the folder that twoturns backup filled. Ledgers in this one: {listed}."
)
