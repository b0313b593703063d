"""What `twoturns/cli/backup.py` says."""

BACKED_UP = "{target}: {size} records and their blobs are backed up, and were read back."
NOT_IN_IT = (
    "In no backup: workshop.key, sessions, what devices may still send, halves of uploads, and "
    "what is known of photos and values that were read through. A restore reads each one itself."
)
OLDER_LEDGERS_DAMAGED = (
    "older ledgers in this backup are damaged:{listed}\nThe newest is whole. Its disk may "
    "be failing: back up to another one as well."
)
FILES_UNREAD = (
    "files that are worked on cannot be read, and are NOT in this backup as they are now:{listed}\n"
    "The ledger and the photos are. Of these files the copy of the backup before is kept, where "
    "there was one. Look at their rights and at the disk, then back up again."
)
RESTORED = "{data}: {size} records are back, the last received {received}."
WORKING_FILES_BACK = (
    "{n, plural, one {# file} other {# files}} that were worked on (drafts of procedures, "
    "house.yaml) are back, too."
)
CONTACTS_BACK = "When {n, plural, one {# device} other {# devices}} last signed in is back, too."
NO_CONTACTS = (
    "When devices last signed in is not in this backup, or cannot be read: each is known of again "
    "as it signs in, and until then doctor may say that it does not call."
)
BEGINS_ANEW = (
    "Not from the backup: sessions (devices sign in again by themselves), what devices may still "
    "send, halves of uploads (phones begin them again). Each photo and value was read as it was "
    "put back; what was found in reading them before was about another disk."
)
KEY_NOT_IN_BACKUP = "The key is in no backup: put workshop.key into {data} from where it is kept."
RECOVER_WITH_PAPER = "If it is lost: twoturns key recover --data {data}, with the key from paper."
THEN_SERVE = "Then: twoturns serve --data {data}. Phones bring what came in after that."
BLOBS_MISSING = (
    "{missing, plural, one {{missing} photo or value} other {{missing} photos or "
    "values}} {missing, plural, one {is} other {are}} not in the backup, or not "
    "whole:{listed}\nPut them in from another backup, or let the phones that took them "
    "send them again: they are asked for as they call."
)
LOSS_ACCEPTED = "{data}: the {size} records that are left are whole, and gone on with."
LOSS_ACCEPTED_HINT = "Serve it: phones bring what they have. What only the workshop stated is lost."
NOT_BACKED_UP = (
    "{n, plural, one {# workshop is} other {# workshops are}} not backed up, or not whole: "
    "{names}\nThe others are. What is wrong with each stands above."
)
