"""What `twoturns/procedure/compile/compiler.py` says."""

IS_HOUSE_RULE = "''{rule_id}' is a house rule"
IS_HOUSE_RULE_HINT = "A procedure adds rules and never replaces one: give this one its own name."
ABSENT_NEEDLESS = "no rule lacks ''{word}'"
ABSENT_NEEDLESS_HINT = (
    "Leave it out: it is there, or no rule that this procedure can break asks for it."
)
PICTURE_LISTED_TWICE = "''{file_name}' stands twice"
PICTURE_LISTED_TWICE_HINT = "Keep one."
PICTURE_MISSING = "the picture ''{file_name}' is missing"
PICTURE_MISSING_HINT = "Put it beside the source, or take this line out."
