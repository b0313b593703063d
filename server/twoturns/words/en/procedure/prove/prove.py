"""What `twoturns/procedure/prove/prove.py` says."""

WALK_GIVEN_UP_AFTER_STATES = "the walk was given up after {states} states"
NOTHING_PROVED_LET_WAYS_BACK = (
    "Nothing is proved. Let ways back need more, so that fewer are open at once."
)
CAN_BREAK_HOUSE_RULE = "''{step}' can break a house rule: {rule}"
BEFORE_LET_STEP_NEED_RULE = (
    "Before it {wrong}. {because} Let the step need what the rule asks for, or do it in "
    "another order."
)
ALL_NEEDS_NO_LEGAL_MOVE = "''{step}' has all it needs and is no legal move: {wrong}"
LET_NEED_MOVES_ASK_LIST = "Let it need what its moves ask for, or list the move under moves."
INTERRUPTIONS_LEAD_GIVEN_UP = "what interruptions lead to was given up after {states} states"
AFTER_INTERRUPTION_NO_END = "after an interruption no end is reached from {dead} states"
THERE_ADD_WAY_BACK_LET = "There {stuck_at}. Add a way back, or let a step need less."
EVERY_STEP_DONE_END_DOES = "every step is done, and the end does not have it that {wrong}"
NEXT_LEADS_NOWHERE = "''{step}' is next, and leads nowhere"
IS_NEXT_AND = "''{step}' is next, and {lacking}"
WHILE_RESTS = "{proof}, while {on}, on which it rests"
BUNDLE_NOT_COMPILED_PROGRAM = "This bundle was not compiled by this program: compile it again."
STILL_WHEN = "{said}, and still so when {words_value}"
WRITE_UNDER_VOIDS_TAKES_AWAY = "Write under voids that ''{undone}' takes it away."
NEVER_OPEN = "''{step}' is never open"
NEEDS_NEVER_HOLDS_TOGETHER_LOOK = "What it needs never holds together: look at its needs and moves."
JOB_CAN_END_WHILE = "the job can end while {words_value}"
LET_END_ASK_TIGHT = "Let the end ask for it to be tight."
COMES_AGAIN_AFTER_FAILED = "''{step}' comes again after it failed{new}"
LET_WAY_BACK_PUT_RIGHT = "Let a way back put that right, and let the step need that it is right."
RIGHT_IF_FAILURES_OWN_WORDS = "Right if the failure's own words put it right."
CANNOT_DONE_AGAIN_AFTER = "''{step}' cannot be done again after ''{after}'"
MARKED_ONCE_PROOF_JUDGED_BEFORE = (
    "It is marked once: its proof is judged before the next step opens."
)
MARK_ONCE_YES_ADD_WAY = "Mark it 'once: yes', or add a way back to it."
