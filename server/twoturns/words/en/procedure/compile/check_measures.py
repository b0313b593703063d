"""What `twoturns/procedure/compile/check_measures.py` says."""

LIMITS_SWAPPED = "no value lies from {low} up to {high}"
LIMITS_SWAPPED_HINT = "Write the smaller limit under low and the larger under high."
TARGET_OUTSIDE_LIMITS = "the target {target} lies outside its own limits"
TARGET_OUTSIDE_LIMITS_HINT = "Mend the target, or the limits that it is judged by."
WAIT_OF_NONE = "a wait of {low} is none"
WAIT_OF_NONE_HINT = "Write how many minutes."
COUNT_NOT_WHOLE = "nothing is counted to {target}"
COUNT_NOT_WHOLE_HINT = "Write a whole number."
WAIT_UNIT_WRONG = "a wait is counted in {wait_unit}, not in {unit}"
WAIT_UNIT_WRONG_HINT = (
    "The phone counts minutes. Write them: low: 60, unit: {wait_unit} for an hour."
)
TYPE_TOOL = "type of tool"
TOOL_UNIT_WRONG = "a {tool} reads in {wanted}, not in {unit}"
TOOL_UNIT_WRONG_HINT = "Write unit: {wanted} with limits in it, or name another tool."
TOOL_RANGE_SWAPPED = "a tool does not reach from {low} to {high}"
TOOL_RANGE_SWAPPED_HINT = "Write the smaller end under low and the larger under high."
ABSENT_UNEXPLAINED = "''{because}' does not say why ''{path}' is absent"
ABSENT_UNEXPLAINED_HINT = (
    "What is absent silences a house rule. Say in a sentence why the engine has none."
)
