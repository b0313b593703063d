"""What `twoturns/procedure/compile/flatten.py` says."""

PROOFS_REST_EACH_CIRCLE = "proofs rest on each other in a circle: {round_trip}"
TAKE_THESE_OUT = "Take one of these out."
PROOF_ONLY_MOVE_ENGINE_MAKES = (
    "''{words}' is a proof, and only a move of the engine makes proofs unproved"
)
SAY_UNDER_RESTS_PROOF_RESTS = "Say under rests what a proof rests on."
RULE_ASKS_NO_SUCH_VALUE = (
    "the rule ''{rule_id}' asks for ''{word}' to be {values}, and it has no such value"
)
NAME_VALUES_RULE_DOES_GIVE = "Name its values as the rule does, or give the condition another name."
NO_LEGAL_MOVE = "''{spoken}' is no legal move{came}"
LOOK_MOVES = "Look at the moves of ''{id}'."
STEP_PROVES_TAKES_AWAY_RESTS = (
    "this step proves ''{id}' and takes away ''{condition_id}', on which it rests"
)
PUT_THEM_INTO_TWO_STEPS = "Put them into two steps."
FAILURE_PROVES_NOTHING_LEAVES = "a failure proves nothing, and this leaves ''{word}' proved"
LEAVE_OUT_NAME_FIRST_VALUE = "Leave it out, or name its first value."
STEP_DOES_NOT_TOUCH_THERE = "the step does not touch ''{word}', so there is nothing to look at"
LEAVE_OUT_NAME_VALUE_UNDER = "Leave it out, or name its value under leaves."
STANDS_UNDER_LEAVES_UNDER_LOOK = "''{word}' stands under leaves and under look"
KEEP = "Keep one."
FAILURE_DOES_NOT_SAY_HOW = "the failure does not say how ''{word}' is left"
NAME_VALUE_UNDER_LEAVES_LIST = "Name its value under leaves, or list it under look."
