"""What `twoturns/procedure/prove/safe.py` says."""

BREAKS_RULE = "''{step}' can break a house rule: {rule}"
BREAKS_RULE_HINT = (
    "Before it {wrong}. {because} Let the step need what the rule asks for, or do it in "
    "another order."
)
MOVE_ILLEGAL = "''{step}' has all it asks for and is no legal move: {wrong}"
MOVE_ILLEGAL_HINT = "Let it need what its moves ask for, or list the move under moves."
ENDS_LOOSE = "the job can end while {words_value}"
ENDS_LOOSE_HINT = "Let the end ask for it to be tight."
