"""What `twoturns/procedure/compare/figures.py` says."""

BETWEEN = "{low} to {high}"
AT_LEAST = "at least {low}"
AT_MOST = "at most {high}"
TARGET_AND_WINDOW = "{target} ({window})"
WITH_UNIT = "{said} {unit}"
TORQUE = "{nm} N·m"
TORQUE_AND_ANGLE = "{nm} N·m and on by {angle}°"
