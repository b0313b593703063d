"""What `twoturns/cli/bags.py` says."""

UNKNOWN_GROUP = "--with knows {groups}, not {unknown}"
EXPORTED = (
    "{out}: {records} records, {files} photos and values; {left} withheld, copied, "
    "erased or not there."
)
HOW_TO_CHECK = "Check it anywhere with: twoturns verify {out} --key {workshop}"
NEEDS_CHECKPOINT = "--consistency goes with --checkpoint: name the one that was kept"
JOBS_OR_SAMPLE = "name a JOB, or several, or a freeze with --sample"
SINCE_OF_ONE = "--since goes with one JOB"
EXPORTED_MANY = "{out}: {bags, plural, one {# bag} other {# bags}} in one file."
ONE_BAG_ONLY = (
    "this file holds several bags: --checkpoint, --report and --photos go with one. Unpack it, and "
    "check each bag by itself"
)
