"""What `twoturns/cli/backup.py` says."""

RECORDS_THEIR_BLOBS_BACKED_UP = (
    "{target}: {size} records and their blobs are backed up, and were read back."
)
OLDER_LEDGERS_BACKUP_DAMAGED = (
    "older ledgers in this backup are damaged:{listed}\nThe newest is whole. Its disk may "
    "be failing: back up to another one as well."
)
RECORDS_BACK_LAST_RECEIVED = "{data}: {size} records are back, the last received {received}."
KEY_NO_BACKUP_PUT_WORKSHOP = (
    "The key is in no backup: put workshop.key into {data} from where it is kept."
)
IF_LOST_TWOTURNS_KEY_RECOVER = (
    "If it is lost: twoturns key recover --data {data}, with the key from paper."
)
THEN_TWOTURNS_SERVE_DATA_PHONES = (
    "Then: twoturns serve --data {data}. Phones bring what came in after that."
)
NOT_BACKUP_NOT_WHOLE_PUT = (
    "{missing, plural, one {{missing} photo or value} other {{missing} photos or "
    "values}} {missing, plural, one {is} other {are}} not in the backup, or not "
    "whole:{listed}\nPut them in from another backup, or let the phones that took them "
    "send them again."
)
RECORDS_LEFT_WHOLE_GONE = "{data}: the {size} records that are left are whole, and gone on with."
SERVE_PHONES_BRING_THEY_ONLY = (
    "Serve it: phones bring what they have. What only the workshop stated is lost."
)
