"""What `twoturns/procedure/compile/check_steps.py` says."""

PART_KIT = "part of the kit"
USED_TWICE = "''{word}' is used twice"
GIVE_OWN_NAME = "Give this one its own name."
STEP_NO_NUMBER = "the step has no number"
UNDO_STEP_NEVER_MUST = "an undo step is never a must"
WAY_BACK_TAKEN_WHEN_NEEDED = "A way back is taken when it is needed: leave must out."
UNDO_STEP_NO = "an undo step has no ''{field}'"
LEAVE_OUT = "Leave it out."
TOOTHED_WHEEL = "toothed wheel"
MARKS_PHOTO_ALL_STEP_PROVED = "marks on a photo are all that this step is proved by"
TAPS_PHOTO_CAN_HALF_TOOTH = (
    "Taps on a photo can be half a tooth out: ask for a second proof beside it."
)
WINDOW_HZ_NOT_HEARD_PLUCK = "the window {low} to {high} Hz is not heard by a pluck"
PHONE_HEARS_SPANS_HZ_MEND = (
    "A phone hears spans from {low} to {high} Hz. Mend the window, or have it read by hand."
)
TARGET_LIST = "the target is {target}, the list of {of} has {listed}"
WRITE_MEND_LIST = "Write {listed}, or mend the list."
PROOF_STEP_BEFORE = "proof of a step before"
NOT_SAME_UNIT = "''{like}' is not a {kind} of the same unit"
ONLY_FIGURES_KIND_UNIT_CAN = "Only figures of one kind and unit can be held against each other."
UNDO_STEP_PROVES = "an undo step proves ''{word}'"
WAY_BACK_PROVES_NOTHING_PROVE = "A way back proves nothing: prove it in a step of the order."
LEFT_STEP = "''{deed}' is left by this step and by ''{makers}'"
PROOF_VALUE_LEFT_STEP_ONLY = (
    "A proof value is left by one step only: give each step a proof of its own."
)
STEP_STANDS_AFTER = "a step of ''{phase}' stands after one of ''{phases}'"
LIST_STEPS_PHASE_TOGETHER_ORDER = "List the steps of a phase together, in the order of the phases."
STEPS_DO_NOT_FOLLOW_EACH = "the steps of ''{group}' do not follow each other"
ONLY_NEIGHBOURS_CAN_DONE_ANY = "Only neighbours can be done in any order."
TOOL_NEVER_COMES_BACK_PLACE = "the tool ''{slot}' never comes back to its place"
LIST_UNDER_TOOLS_STEP_PUTS = "List it under tools_in of the step that puts it back."
WHEEL_TOOL = "wheel or tool"
