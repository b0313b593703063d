"""What `twoturns/procedure/compile/instead.py` says."""

HOUSE_RULE = "house rule"
RULE_FIXED = "''{rule_id}' holds whatever a maker asks for: {never}"
RULE_FIXED_HINT = "Take this out, and set an order that keeps the rule."
ASKS_NOTHING = "''{word}' may have every value here, so nothing is asked"
ASKS_NOTHING_HINT = (
    "A house rule can be adapted, never switched off: name the values that the maker's order "
    "allows, or leave this condition out."
)
NO_OCCASION = "nothing in this procedure comes under ''{rule_id}'"
NO_OCCASION_HINT = "Leave it out: no step does what the rule speaks of."
OR = " or "
