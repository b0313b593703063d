"""What `twoturns/store/errors.py` says."""

DISK_MAY_FAILING_FILE_CHANGED = (
    "The disk may be failing, or the file was changed outside the program. Stop, keep "
    "this folder as it is, and put the newest backup into a new one: twoturns restore "
    "BACKUP --data NEW"
)
PUT_NEWEST_WORKSHOP_KEY_BACK = (
    "Put the newest workshop.key back from where it is kept apart from the backups. If "
    "it is lost, or somebody else has it: twoturns key recover, with the recovery key "
    "from paper."
)
NO_ROOM_LEFT = "no room is left"
MIB_LEFT = "{mib} MiB are left"
DISK_WORKSHOP_FULL = "the disk of the workshop is full: {free}"
FREE_SPACE_WORKSHOPS_COMPUTER = (
    "Free space on the workshop's computer. Nothing is lost: the phone keeps it and sends it again."
)
DISK_BACKUP_FULL_NO_ROOM = "the disk of the backup is full: no room is left for {folder}"
FREE_SPACE_THERE_NAME_FOLDER = (
    "Free space there, or name a folder on a larger disk. The ledgers that were in the "
    "backup are in it still."
)
ANOTHER_PROGRAM_WRITING_LEDGER = (
    "another program is writing to the ledger, and has not come to its end"
)
WAIT_TRY_AGAIN_NOTHING_DAMAGED = (
    "Wait and try again: nothing is damaged and nothing is lost. A rebuild, a copy or a "
    "virus scanner may be at work in the folder."
)
WORKSHOPS_FOLDER_CANNOT_OPENED = "the workshop's folder cannot be opened or written: {what}"
LET_USER_RUNS_WRITE_FOLDER = (
    "Let the user that runs this write in the folder, and see that its disk is mounted "
    "for writing. The ledger is as it was."
)
WAS_ALTERED = "was altered"
IS_MISSING = "is missing"
THE_BLOB = "the blob"
WORKSHOPS_DISK = "{of} ({blob}) {was} on the workshop's disk"
PHONE_STILL_SENDS_AGAIN_ITSELF = (
    "A phone that still has it sends it again by itself. Or bring it back from a backup "
    "(twoturns scrub --from) or from a phone's file (twoturns import). If nobody has it "
    "any more: twoturns erase lost."
)
RECORDS_LOST = "records are lost: {message}"
IF_LEDGER_DB_WAL_MOVED = (
    "If ledger.db-wal was moved away, put it back. Else restore a backup of more than "
    "{size} records; or go on with these {size}, and let the phones bring what they "
    "have: twoturns accept-loss"
)
SEND_WORKSHOP_WHOSE_ID_NAMES = "Send it to the workshop whose id it names."
ENROL_DEVICE_INVITATION_OWNERS = (
    "Enrol this device with an invitation of the owner's, then send again."
)
LINE_CHANGED_AFTER_SIGNING_KEEP = (
    "The line was changed after signing. Keep it on the device and tell the owner: this "
    "does not happen by itself."
)
DONE_WORKSHOPS_OWN_COMPUTER = (
    "It is done on the workshop's own computer: twoturns key. After a restore, put the "
    "newest workshop.key into its folder: it tells the ledger how it came to be."
)
ASK_OWNER_NEW_INVITATION_IF = (
    "Ask the owner for a new invitation. If the workshop was restored, an owner's device "
    "brings the enrolment back: sign in with one."
)
STAYS_PHONE_WRITE_FILE_THERE = (
    "It stays on the phone: write it to a file there, and bring that to the workshop's "
    "computer (twoturns import). What the owner accepts makes room again."
)
STAYS_PHONE_SENDS_AGAIN_WHEN = (
    "It stays on the phone, which sends it again when the app is started. The app is "
    "newer than the workshop's program: bring that up to date, and it is read."
)
STAYS_PHONE_DEVICE_MAY_NOT = (
    "It stays on the phone. What this device may not see it cannot write into: ask the owner."
)
STAYS_PHONE_ASK_OWNER_NEW = (
    "It stays on the phone. Ask the owner for a new invitation; what was noted before "
    "may come by the phone's file (twoturns import)."
)
STAYS_PHONE_OWNER_MAY_TAKE = (
    "It stays on the phone: the owner may take it in from a file that the phone writes "
    "(twoturns import)."
)
ERASED_OWNERS_ORDER_TAKE_OFF = "It was erased by the owner's order; take it off the phone too."
APP_OLDER_THAN_RECORDS_KNOWS = (
    "this app is older than the records by which one knows the workshop's key"
)
