"""What `twoturns/cli/move.py` says."""

ONE_OF_EACH = "give --to once for the ledger, and once for the photos"
THERE_ALREADY = "It is there already: {where}"
LEDGER_WOULD = (
    "{old} has {n, plural, one {# record} other {# records}}; {there} of them are at {new} already."
)
LEDGER_MOVED = (
    "{n, plural, one {# record} other {# records}} moved from {old} to {new}, every one compared; "
    "{there} were there already.\n"
    "The old ledger stays as it is, with plates and VIN in it: back up the new one, then remove it."
)
ROOT = "Root: {root}"
PHOTOS_WOULD = (
    "{old} has {n, plural, one {# photo or value} other {# photos and values}}; {there} of them "
    "are at {new} already."
)
PHOTOS_MOVED = (
    "{n, plural, one {# photo or value} other {# photos and values}} moved from {old} to {new}, "
    "hashed as they came; {there} were there already.\n"
    "The old ones stay as they are, until you remove them: back up first."
)
RECORDS_AT = "Records: {done} of {of}"
BLOBS_AT = "Photos and values: {done} of {of}"
BLOBS_DAMAGED = (
    "{n, plural, one {# photo or value was} other {# photos or values were}} not whole at the old "
    "place, and did not move:{listed}\nPut them in from a backup, or let the phones that took them "
    "send them again."
)
