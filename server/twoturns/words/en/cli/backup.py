"""What `twoturns/cli/backup.py` says."""

BACKED_UP = "{target}: {size} records and their blobs are backed up, and were read back."
OLDER_LEDGERS_DAMAGED = (
    "older ledgers in this backup are damaged:{listed}\nThe newest is whole. Its disk may "
    "be failing: back up to another one as well."
)
RESTORED = "{data}: {size} records are back, the last received {received}."
KEY_NOT_IN_BACKUP = "The key is in no backup: put workshop.key into {data} from where it is kept."
RECOVER_WITH_PAPER = "If it is lost: twoturns key recover --data {data}, with the key from paper."
THEN_SERVE = "Then: twoturns serve --data {data}. Phones bring what came in after that."
BLOBS_MISSING = (
    "{missing, plural, one {{missing} photo or value} other {{missing} photos or "
    "values}} {missing, plural, one {is} other {are}} not in the backup, or not "
    "whole:{listed}\nPut them in from another backup, or let the phones that took them "
    "send them again."
)
LOSS_ACCEPTED = "{data}: the {size} records that are left are whole, and gone on with."
LOSS_ACCEPTED_HINT = "Serve it: phones bring what they have. What only the workshop stated is lost."
