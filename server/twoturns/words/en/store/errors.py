"""What `twoturns/store/errors.py` says."""

RESTORE_BACKUP = (
    "The disk may be failing, or the file was changed outside the program. Stop, keep "
    "this folder as it is, and put the newest backup into a new one: twoturns restore "
    "BACKUP --data NEW"
)
WRONG_KEY_HINT = (
    "Put the newest workshop.key back from where it is kept apart from the backups. If "
    "it is lost, or somebody else has it: twoturns key recover, with the recovery key "
    "from paper."
)
NO_ROOM_LEFT = "no room is left"
MIB_LEFT = "{mib} MiB are left"
DISK_FULL = "the disk of the workshop is full: {free}"
DISK_FULL_HINT = (
    "Free space on the workshop's computer. Nothing is lost: the phone keeps it and sends it again."
)
BACKUP_DISK_FULL = "the disk of the backup is full: no room is left for {folder}"
BACKUP_DISK_FULL_HINT = (
    "Free space there, or name a folder on a larger disk. The ledgers that were in the "
    "backup are in it still."
)
LEDGER_BUSY = "another program is writing to the ledger, and has not come to its end"
LEDGER_BUSY_HINT = (
    "Wait and try again: nothing is damaged and nothing is lost. A rebuild, a copy or a "
    "virus scanner may be at work in the folder."
)
LEDGER_AWAY = "the server that has the workshop's ledger cannot be reached"
LEDGER_AWAY_HINT = (
    "Wait and try again: nothing is lost, phones keep what they have and send it once the server "
    "is back. See that PostgreSQL runs, and that its address and password are right."
)
NOT_CONFIRMED = "the server that has the workshop's ledger did not confirm that it holds it safely"
NOT_CONFIRMED_HINT = (
    "It may hold it all the same. Phones send it again by themselves; whoever typed a command "
    "looks first whether it was done. See that PostgreSQL and its standby run."
)
FOLDER_CLOSED = "the workshop's folder cannot be opened or written: {what}"
FOLDER_CLOSED_HINT = (
    "Let the user that runs this write in the folder, and see that its disk is mounted "
    "for writing. The ledger is as it was."
)
MOVED = "the workshop was moved, and this machine''s folder says where it was before"
MOVED_HINT = (
    "Copy ledger.url and photos.url from the folder by which it was moved into this machine''s, "
    "and start twoturns serve anew; if the move was broken off, give it once more. Nothing is "
    "lost: phones keep what they have and send it then."
)
PHOTOS_AWAY = "The store of the workshop's photos does not answer."
PHOTOS_AWAY_HINT = (
    "Nothing is lost: the phone keeps them and sends them again by itself. Whoever runs the "
    "workshop's computer finds out why by twoturns doctor."
)
PHOTOS_ELSEWHERE_HINT = (
    "Give the place that this workshop's photos.url was written for. Nothing was changed in either."
)
WAS_ALTERED = "was altered"
IS_MISSING = "is missing"
THE_BLOB = "the blob"
BLOB_GONE = "{of} ({blob}) {was} on the workshop's disk"
BLOB_GONE_HINT = (
    "A phone that still has it sends it again by itself. Or bring it back from a backup "
    "(twoturns scrub --from) or from a phone's file (twoturns import). If nobody has it "
    "any more: twoturns erase lost."
)
RECORDS_LOST = "records are lost: {message}"
RECORDS_LOST_HINT = (
    "If ledger.db-wal was moved away, put it back. Else restore a backup of more than "
    "{size} records; or go on with these {size}, and let the phones bring what they "
    "have: twoturns accept-loss"
)
FOREIGN_WORKSHOP_HINT = "Send it to the workshop whose id it names."
UNKNOWN_DEVICE_HINT = "Enrol this device with an invitation of the owner's, then send again."
WRONG_SIGNATURE_HINT = (
    "The line was changed after signing. Keep it on the device and tell the owner: this "
    "does not happen by itself."
)
SUCCESSION_HINT = (
    "It is done on the workshop's own computer: twoturns key. After a restore, put the "
    "newest workshop.key into its folder: it tells the ledger how it came to be."
)
INVITATION_OVER_HINT = (
    "Ask the owner for a new invitation. If the workshop was restored, an owner's device "
    "brings the enrolment back: sign in with one."
)
HELD_FULL_HINT = (
    "It stays on the phone: write it to a file there, and bring that to the workshop's "
    "computer (twoturns import). What the owner accepts makes room again."
)
UNREAD_FULL_HINT = (
    "It stays on the phone, which sends it again when the app is started. The app is "
    "newer than the workshop's program: bring that up to date, and it is read."
)
NOT_FOUND_HINT = (
    "It stays on the phone. What this device may not see it cannot write into: ask the owner."
)
ACCESS_OVER_HINT = (
    "It stays on the phone. Ask the owner for a new invitation; what was noted before "
    "may come by the phone's file (twoturns import)."
)
DEVICE_SHUT_HINT = (
    "It stays on the phone: the owner may take it in from a file that the phone writes "
    "(twoturns import)."
)
BLOB_ERASED_HINT = "It was erased by the owner's order; take it off the phone too."
APP_TOO_OLD = "this app is older than the records by which one knows the workshop's key"
NO_DRAFT_HINT = "Take the name from the list of drafts."
DRAFT_CHANGED_HINT = (
    "Read the draft again and bring the changes into it. Nothing was written over: both are there."
)
DRAFT_EXISTS_HINT = "Choose another name, or open the draft that has it."
DRAFT_TOO_LARGE_HINT = "Make the pictures smaller, or leave some out."
TOO_MANY_DRAFTS_HINT = "Throw away a draft that nobody needs. Export it first to keep it."
BAD_ZIP_HINT = (
    "Pack a folder with procedure.yaml and pictures (.jpg, .png, .webp), with names of small "
    "letters, digits, - and _, and nothing else. An export of a draft is such a file."
)
BAD_PICTURE_HINT = (
    "Save the picture as JPEG, PNG or WebP, named by its kind, of 12 megapixels at most."
)
CHECK_BUSY_HINT = "Wait until one of them has ended, or stop one."
BAD_WHEELS_HINT = "Measure again what is named, and begin once more. Nothing was written."
NOT_PROVED_HINT = "Check the draft, mend what is found, and check it again. Then hand it in."
