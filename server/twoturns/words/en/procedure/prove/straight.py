"""What `twoturns/procedure/prove/straight.py` says."""

NOT_OPEN_IN_TURN = "''{step}' is not open in its turn"
ORDER_UNFINISHED = "the listed order does not finish the job"
WAY_BLOCKED_HINT = "In its way stands that {wrong}. Let a step before it change that."
NEVER_REACHED = "it never comes about that {words_value}"
NEVER_REACHED_HINT = (
    "No step leaves ''{id}={value}': let one leave it by its ''does', or take "
    "{is_one_of_two, select, true {the condition out, with all that asks for it} "
    "other {the value out}}."
)
