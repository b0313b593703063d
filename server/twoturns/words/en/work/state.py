"""The state of the work, as phone, desk and the report of an evidence bag say it."""

BEFORE_ANY_WORK = "Before any work"
HOLDS = "holds"
PASSED_BY = "passed by"
STEPS_HOLD = "{held} of {steps} steps hold"
EDITION = "{name}, edition {edition}"
