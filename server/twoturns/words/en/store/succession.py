"""What `twoturns/store/succession.py` says."""

WORKSHOP_KEY = "a workshop key"
OPEN_INVITATION = "an open invitation of one {role}, by {by}"
DEVICE_CAME_IN = "device {device} came in: {role}"
DEVICE_REVOKED = "device {device} was revoked, by {by}"
DEVICE_SPEAKS_FOR_MORE = "device {device} speaks for {persons} more, by {by}"
KEY_CHANGED = "the workshop's key became {key}"
RECOVERY_KEY_VOID = "a recovery key that does not count: {recovery}"
NOT_A_STATEMENT = "a line of workshop.key is no statement: {error}"
NEW_KEY_VOID = "the new key {key} does not count"
NO_RECOVERY_KEY = "this workshop has no recovery key"
NO_RECOVERY_KEY_HINT = (
    "While its key file is there: twoturns key commit. Without both, phones must be "
    "enrolled anew in a new workshop; the ledger stays readable and its bags hold."
)
SIZE_OUT_OF_RANGE = "{size} records cannot be what is trusted: from {index} to {most} can"
SIZE_OUT_OF_RANGE_HINT = (
    "The recovery key in force was committed to in the record before the first of these. "
    "Name the last size that you trust, or none for all."
)
NOT_KEY_IN_FORCE = "this is not the recovery key in force"
NOT_KEY_IN_FORCE_HINT = (
    "Take the newest paper: its fingerprint is {recovery_key}. Each recovery and each "
    "commitment makes the paper before worthless."
)
