"""What `twoturns/store/succession.py` says."""

WORKSHOP_KEY = "a workshop key"
OPEN_INVITATION = "an open invitation of one {role}, by {by}"
DEVICE_CAME = "device {device} came in: {role}"
DEVICE_REVOKED = "device {device} was revoked, by {by}"
DEVICE_SPEAKS_MORE = "device {device} speaks for {persons} more, by {by}"
WORKSHOPS_KEY_BECAME = "the workshop's key became {key}"
RECOVERY_KEY_DOES_NOT_COUNT = "a recovery key that does not count: {recovery}"
LINE_WORKSHOP_KEY_NO_STATEMENT = "a line of workshop.key is no statement: {error}"
NEW_KEY_DOES_NOT_COUNT = "the new key {key} does not count"
WORKSHOP_NO_RECOVERY_KEY = "this workshop has no recovery key"
WHILE_KEY_FILE_THERE_TWOTURNS = (
    "While its key file is there: twoturns key commit. Without both, phones must be "
    "enrolled anew in a new workshop; the ledger stays readable and its bags hold."
)
RECORDS_CANNOT_TRUSTED_CAN = "{size} records cannot be what is trusted: from {index} to {most} can"
RECOVERY_KEY_FORCE_COMMITTED = (
    "The recovery key in force was committed to in the record before the first of these. "
    "Name the last size that you trust, or none for all."
)
NOT_RECOVERY_KEY_FORCE = "this is not the recovery key in force"
TAKE_NEWEST_PAPER_FINGERPRINT = (
    "Take the newest paper: its fingerprint is {recovery_key}. Each recovery and each "
    "commitment makes the paper before worthless."
)
