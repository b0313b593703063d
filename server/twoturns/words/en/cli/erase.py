"""What `twoturns/cli/erase.py` says."""

BLOB_NOT_KEPT = "no {blob} is kept here. twoturns scrub names them."
BLOB_IS_WHOLE = "{blob} is whole: nothing of it is lost."
NOTHING_TO_ERASE = "nothing of {what} is here that could be erased"
HIDDEN_UNTIL_ERASED = (
    "{blobs, plural, one {{blobs} value} other {{blobs} values}} of {what}: hidden from "
    "all but owners, erased from {due} on. At once: twoturns erase now {said_id}"
)
RULE_IN_FORCE = (
    "Rule: after {delay_days, plural, one {{delay_days} day} other {{delay_days} days}}, "
    "{blobs_a_day} blobs a day."
)
WITHDRAWN = "{found} is withdrawn."
ERASED = (
    "{count, plural, one {{count} blob} other {{count} blobs}} erased. The next backup "
    "erases there, too."
)
NO_ORDER = "nothing starts"
SEVERAL_ORDERS = "several start"
NAME_ONE = "{what} with {start}. Name one of these:{listed}"
ERASED_FROM = "from {due} on"
RULE_SET = (
    "From {begins}: after {days, plural, one {{days} day} other {{days} days}}, {most} blobs a day."
)
RULE_TO_COME = "from {begins}: {days, plural, one {{days} day} other {{days} days}}, {most} blobs"
BLOBS = "{n, plural, one {{n} blob} other {{n} blobs}}"
LEFT = "{n} left"
