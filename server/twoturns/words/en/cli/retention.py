"""What `cli/retention` says."""

STATED = (
    "Stated: jobs are kept for {days, plural, one {# day} other {# days}}. Nothing is erased by it."
)
NEVER_SAID = "nobody said how long jobs are kept\nSay it first: twoturns retention set DAYS"
KEPT_LONGER = (
    "{n, plural, =0 {No job is} one {# job is} other {{isAll, select, true {# jobs are} "
    "other {The first # jobs that are}}}} kept longer than {days, plural, one {# day} "
    "other {# days}}.{n, plural, =0 {} other { Order each erased, if it should be: "
    "twoturns erase job JOB}}"
)
