"""What `twoturns/store/backup.py` says."""

INSIDE_DATA_FOLDER = "{target} is inside the data folder"
NAME_FOLDER_ANOTHER_DISK_FAILS = "Name a folder on another disk: one that fails must not take both."
WORKSHOPS_OWN_FOLDER_HOLDS = "{target} is a workshop's own folder: it holds a {key_file}"
NAME_ANOTHER_FOLDER_MAY = "Name another folder: this one may be somebody's only ledger."
HOLDS_SOMETHING_ELSE_THAN = "{target} holds something else than a backup"
NAME_NEW_FOLDER = "Name a new folder, or one in it."
BACKUP_ANOTHER_WORKSHOP = "{folder} is the backup of another workshop, {whose}"
LEDGER_RECORDS = "{folder} has a ledger of {largest} records, and this one has {size}"
FOLDER_PUT_BACK_OLDER_THEN = (
    "Was this folder put back from an older one? Then let the phones bring what it "
    "lacks, or restore the newer ledger. {another_folder}"
)
RECORDS_NOT_THOSE_LEDGER_BEGINS = (
    "the {size} records in {folder} are not those that this ledger begins with"
)
WORKSHOP_PUT_BACK_WENT_ANOTHER = (
    "This workshop was put back and went on another way, or one of the two was changed. "
    "{another_folder}"
)
BLOB_MISSING_BYTES_NOT_OWN = "blob {blob} is missing or its bytes are not its own"
DISK_MAY_FAILING_PUT_BLOB = (
    "The disk may be failing. Put the blob back from an older backup, or let the phone "
    "that took it send it again, before anything is freed."
)
BLOB_WRITTEN_READS_BACK = "blob {blob} was written to {folder}, and reads back otherwise"
DISK_WRITTEN_FAILING_TAKE = "The disk that was written to is failing: take another."
KEEP_BOTH_NAME_ANOTHER_FOLDER = (
    "To keep both, name another folder: what is in this one stays as it is."
)
