"""What `twoturns/procedure/compile/check_measures.py` says."""

NO_VALUE_LIES_UP = "no value lies from {low} up to {high}"
WRITE_SMALLER_LIMIT_UNDER_LOW = "Write the smaller limit under low and the larger under high."
TARGET_LIES_OUTSIDE_OWN_LIMITS = "the target {target} lies outside its own limits"
MEND_TARGET_LIMITS_JUDGED = "Mend the target, or the limits that it is judged by."
WAIT_NONE = "a wait of {low} is none"
WRITE_HOW_MANY_MINUTES = "Write how many minutes."
NOTHING_COUNTED = "nothing is counted to {target}"
WRITE_WHOLE_NUMBER = "Write a whole number."
WAIT_COUNTED_NOT = "a wait is counted in {wait_unit}, not in {unit}"
PHONE_COUNTS_MINUTES_WRITE_THEM = (
    "The phone counts minutes. Write them: low: 60, unit: {wait_unit} for an hour."
)
TYPE_TOOL = "type of tool"
READS_NOT = "a {tool} reads in {wanted}, not in {unit}"
WRITE_UNIT_LIMITS_NAME_ANOTHER = "Write unit: {wanted} with limits in it, or name another tool."
TOOL_DOES_NOT_REACH = "a tool does not reach from {low} to {high}"
WRITE_SMALLER_END_UNDER_LOW = "Write the smaller end under low and the larger under high."
DOES_NOT_SAY_WHY_ABSENT = "''{because}' does not say why ''{path}' is absent"
ABSENT_SILENCES_HOUSE_RULE_SAY = (
    "What is absent silences a house rule. Say in a sentence why the engine has none."
)
