"""What `twoturns/store/backup.py` says."""

INSIDE_DATA = "{target} is inside the data folder"
INSIDE_DATA_HINT = "Name a folder on another disk: one that fails must not take both."
IS_WORKSHOP_FOLDER = "{target} is a workshop's own folder: it holds a {key_file}"
IS_WORKSHOP_FOLDER_HINT = "Name another folder: this one may be somebody's only ledger."
NOT_A_BACKUP = "{target} holds something else than a backup"
NOT_A_BACKUP_HINT = "Name a new folder, or one in it."
OTHER_WORKSHOP = "{folder} is the backup of another workshop, {whose}"
BACKUP_IS_NEWER = "{folder} has a ledger of {largest} records, and this one has {size}"
BACKUP_IS_NEWER_HINT = (
    "Was this folder put back from an older one? Then let the phones bring what it "
    "lacks, or restore the newer ledger. {another_folder}"
)
RECORDS_DIFFER = "the {size} records in {folder} are not those that this ledger begins with"
RECORDS_DIFFER_HINT = (
    "This workshop was put back and went on another way, or one of the two was changed. "
    "{another_folder}"
)
BLOB_UNSOUND = "blob {blob} is missing or its bytes are not its own"
BLOB_UNSOUND_HINT = (
    "The disk may be failing. Put the blob back from an older backup, or let the phone "
    "that took it send it again, before anything is freed."
)
COPY_READS_OTHERWISE = "blob {blob} was written to {folder}, and reads back otherwise"
COPY_READS_OTHERWISE_HINT = "The disk that was written to is failing: take another."
KEEP_BOTH = "To keep both, name another folder: what is in this one stays as it is."
