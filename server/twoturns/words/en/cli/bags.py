"""What `twoturns/cli/bags.py` says."""

UNKNOWN_GROUP = "--with knows {groups}, not {unknown}"
EXPORTED = (
    "{out}: {records} records, {files} photos and values; {left} withheld, copied, "
    "erased or not there."
)
HOW_TO_CHECK = "Check it anywhere with: twoturns verify {out} --key {workshop}"
NEEDS_CHECKPOINT = "--consistency goes with --checkpoint: name the one that was kept"
ONE_FINDING = "1 thing does not hold."
SEVERAL_FINDINGS = "{count} things do not hold."
WHOLE = "whole and unaltered"
UNALTERED_BUT = "nothing in it was altered, but {lacks}"
AS_OF = "; as of {day}, at {size} records"
SIGNED_BY = "{said}; signed by workshop {workshop}."
SIGNER_UNKNOWN = (
    "{said}. Any workshop could have signed it: compare {workshop} with the fingerprint "
    "on paper, and give that with --key."
)
ASSERTED_BY = "Asserted by"
NOT_CHECKED = "Not checked"
NOT_PROVEN = "Not proven"
