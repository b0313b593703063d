"""What `twoturns/store/wrenches.py` says."""

TOOL_FOUND_OUT = (
    "{tool} was found out on {on}: it delivered {off} % {is_less, select, true {less} other {more}}"
    " than it was set to"
)
TOOL_NOT_FIT = "{tool} was found out on {on}: what it delivered is no torque"
TOOL_SHOWED = (
    "{tool} was found out on {on}: it showed {off} {unit} {is_less, select, true {too little} "
    "other {too much}}"
)
