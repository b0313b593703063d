"""What `twoturns/procedure/compare/machines.py` says."""

OR = " or "
NEVER = "never so"
NOTHING = "nothing"
FAILURE = "failed as ''{name}'"
RULE = "by the rule ''{rule}'"
RULE_NEW = "comes now under the rule ''{rule}'"
RULE_GONE = "no longer comes under the rule ''{rule}'"
ASKS = "asks now for: {new}. No longer for: {gone}"
MOVES = "may now begin from: {new}. No longer from: {gone}"
LEAVES = "leaves now: {new}. No longer: {gone}"
ALL_STEPS = {"true": "asks now for every step", "false": "no longer asks for every step"}
