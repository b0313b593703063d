"""What `twoturns/cli/bags.py` says."""

KNOWS_NOT = "--with knows {groups}, not {unknown}"
RECORDS_PHOTOS_VALUES_WITHHELD = (
    "{out}: {records} records, {files} photos and values; {left} withheld, copied, "
    "erased or not there."
)
CHECK_ANYWHERE_TWOTURNS_VERIFY = "Check it anywhere with: twoturns verify {out} --key {workshop}"
CONSISTENCY_GOES_CHECKPOINT = "--consistency goes with --checkpoint: name the one that was kept"
THING_DOES_NOT_HOLD = "1 thing does not hold."
THINGS_DO_NOT_HOLD = "{count} things do not hold."
WHOLE_UNALTERED = "whole and unaltered"
NOTHING_ALTERED_BUT = "nothing in it was altered, but {lacks}"
AS_OF_AT_RECORDS = "; as of {day}, at {size} records"
SIGNED_WORKSHOP = "{said}; signed by workshop {workshop}."
ANY_WORKSHOP_COULD_SIGNED = (
    "{said}. Any workshop could have signed it: compare {workshop} with the fingerprint "
    "on paper, and give that with --key."
)
ASSERTED_BY = "Asserted by"
NOT_CHECKED = "Not checked"
NOT_PROVEN = "Not proven"
