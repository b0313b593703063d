"""What `twoturns/cli/parts.py` says."""

LEDGERS_FILE_CANNOT_READ_STOP = (
    "the ledger's file cannot be read: {error}\nStop, keep the folder as it is, and "
    "restore from a backup."
)
DISK_FULL_FREE_SOME_TRY = "the disk is full\nFree some of it, and try again."
CHECK_FOLDER_THERE_MAY_WRITTEN = (
    "{what}\nCheck that the folder is there, and that it may be written."
)
THERE_ALREADY_NAME_ANOTHER_FILE = "{out} is there already; name another file"
THERE_NO_FOLDER_MAKE_FIRST = "there is no folder {parent}; make it first"
VIEWS_MADE_ANEW_PROGRAM_RECORDS = (
    "The views are made anew for this program: {done} of {of} records."
)
