"""What `twoturns/procedure/prove/straight.py` says."""

NOT_OPEN_TURN = "''{step}' is not open in its turn"
LISTED_ORDER_DOES_NOT_FINISH = "the listed order does not finish the job"
WAY_STANDS_LET_STEP_BEFORE = "In its way stands that {wrong}. Let a step before it change that."
NEVER_COMES_ABOUT = "it never comes about that {words_value}"
NO_STEP_LEAVES_LET_LEAVE = (
    "No step leaves ''{id}={value}': let one leave it, or take the value out."
)
