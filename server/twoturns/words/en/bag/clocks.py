"""What `twoturns/bag/clocks.py` says."""

CLOCK = (
    "{entries, plural, one {# entry} other {# entries}}"
    "{waited, select, true {; received at most {wait} after its own time} other {}}"
    "{ahead, plural, =0 {} one {; # of them dated after it was received} "
    "other {; # of them dated after they were received}}"
    "{undated, plural, =0 {} other {; # of them dated with no time at all}}; "
    "{measured, select, true {its clock was {least} to {most} ms off, measured} "
    "other {its clock was not measured}}"
)
HOURS_MINUTES = "{h} h {min} min"
MINUTES = "{min} min"
