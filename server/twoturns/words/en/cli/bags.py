"""What `twoturns/cli/bags.py` says."""

UNKNOWN_GROUP = "--with knows {groups}, not {unknown}"
EXPORTED = (
    "{out}: {records} records, {files} photos and values; {left} withheld, copied, "
    "erased or not there."
)
HOW_TO_CHECK = "Check it anywhere with: twoturns verify {out} --key {workshop}"
NEEDS_CHECKPOINT = "--consistency goes with --checkpoint: name the one that was kept"
FINDINGS = "{count, plural, one {{count} thing does} other {{count} things do}} not hold."
VERIFIED = (
    "{unshown, select, none {whole and unaltered} "
    "completeness {nothing in it was altered, but completeness not proven} "
    "growth {nothing in it was altered, but growth not proven} "
    "other {nothing in it was altered, but completeness and growth not proven}}; "
    "as of {day}, at {size} records{trusted, select, true {; signed by workshop {workshop}} "
    "other {. Any workshop could have signed it: compare {workshop} with the fingerprint on "
    "paper, and give that with --key}}."
)
EXCEPTION = "{what} ({who}, record {index})"
PROVEN = "Proven"
ASSERTED_BY = "Asserted by"
NOT_CHECKED = "Not checked"
NOT_PROVEN = "Not proven"
