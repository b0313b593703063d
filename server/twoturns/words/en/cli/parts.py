"""What `twoturns/cli/parts.py` says."""

LEDGER_UNREADABLE = (
    "the ledger's file cannot be read: {error}\nStop, keep the folder as it is, and "
    "restore from a backup."
)
DISK_FULL = "the disk is full\nFree some of it, and try again."
FOLDER_UNUSABLE = "{what}\nCheck that the folder is there, and that it may be written."
FILE_EXISTS = "{out} is there already; name another file"
NO_SUCH_FOLDER = "there is no folder {parent}; make it first"
REBUILDING_VIEWS = "The views are made anew for this program: {done} of {of} records."
OF_WHICH_INSTALLATION = "--workshop is one of an installation: name its folder with --data"
