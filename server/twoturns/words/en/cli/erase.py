"""What `twoturns/cli/erase.py` says."""

NO_KEPT_HERE_TWOTURNS_SCRUB = "no {blob} is kept here. twoturns scrub names them."
WHOLE_NOTHING_LOST = "{blob} is whole: nothing of it is lost."
NOTHING_HERE_COULD_ERASED = "nothing of {what} is here that could be erased"
HIDDEN_ALL_BUT_OWNERS_ERASED = (
    "{blobs, plural, one {{blobs} value} other {{blobs} values}} of {what}: hidden from "
    "all but owners, erased from {due} on. At once: twoturns erase now {said_id}"
)
RULE_AFTER_BLOBS_DAY = (
    "Rule: after {delay_days, plural, one {{delay_days} day} other {{delay_days} days}}, "
    "{blobs_a_day} blobs a day."
)
IS_WITHDRAWN = "{found} is withdrawn."
ERASED_NEXT_BACKUP_ERASES_THERE = (
    "{count, plural, one {{count} blob} other {{count} blobs}} erased. The next backup "
    "erases there, too."
)
NOTHING_STARTS = "nothing starts"
SEVERAL_START = "several start"
NAME_THESE = "{what} with {start}. Name one of these:{listed}"
FROM_ON = "from {due} on"
RULE_FROM = (
    "From {begins}: after {days, plural, one {{days} day} other {{days} days}}, {most} blobs a day."
)
RULE_TO_COME = "from {begins}: {days, plural, one {{days} day} other {{days} days}}, {most} blobs"
BLOBS = "{n, plural, one {{n} blob} other {{n} blobs}}"
LEFT = "{n} left"
