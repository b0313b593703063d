"""What `twoturns/procedure/prove/openings.py` says."""

NEVER_OPEN = "''{step}' is never open"
NEVER_OPEN_HINT = "What it asks for never holds together: look at its asks and moves."
NEVER_OPEN_FOR_IT = (
    "{n, plural, one {One more step is} other {# more steps are}} never open for want of it: "
    "{steps}."
)
REPEATS_THOUGH_CHANGED = "''{step}' comes again after it failed ({seen}), though {new}"
REPEATS_THOUGH_CHANGED_HINT = (
    "Let a way back put that right, and let the step need that it is right."
)
REPEATS_FAILED = "''{step}' comes again after it failed: {seen}"
REPEATS_FAILED_HINT = "Right if the failure's own words put it right."
NOT_REPEATABLE = "''{step}' cannot be done again after ''{after}'"
MARKED_ONCE = "It is marked once: its proof is judged before the next step opens."
MARK_ONCE_HINT = "Mark it 'once: yes', or add a way back to it."
