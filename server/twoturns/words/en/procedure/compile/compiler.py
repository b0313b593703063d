"""What `twoturns/procedure/compile/compiler.py` says."""

HOUSE_RULE = "''{rule_id}' is a house rule"
PROCEDURE_ADDS_RULES_NEVER = (
    "A procedure adds rules and never replaces one: give this one its own name."
)
NO_RULE_LACKS = "no rule lacks ''{word}'"
LEAVE_OUT_THERE_NO_RULE = (
    "Leave it out: it is there, or no rule that this procedure can break asks for it."
)
STANDS_TWICE = "''{file_name}' stands twice"
KEEP = "Keep one."
PICTURE_MISSING = "the picture ''{file_name}' is missing"
PUT_BESIDE_SOURCE_TAKE_LINE = "Put it beside the source, or take this line out."
