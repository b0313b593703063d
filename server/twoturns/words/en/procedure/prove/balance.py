"""What `twoturns/procedure/prove/balance.py` says."""

GOES_BACK_NEVER_OUT = "the {labels} goes back at ''{step}' and was never out"
LIST_UNDER_TOOLS_OUT_STEP = "List it under tools_out of the step that takes it."
GOES_OUT_OUT_END = "the {labels} goes out at ''{step}' and is out at the end"
LIST_UNDER_TOOLS_STEP_PUTS = "List it under tools_in of the step that puts it back."
COUNTS_TOOLS_WHILE_OUT = "''{step}' counts the tools while {listed} is out"
LET_STEP_BEFORE_PUT_EVERY = "Let a step before it put every tool back, or count in another step."
KIT_STEPS_USE = "the kit has {count} of ''{label}', the steps use {used}"
LIST_STEP_FITS_UNDER_USES = "List what a step fits under its uses, and count the kit again."
NO_WRENCH_RANGE_OUT = "no wrench with a range is out"
ASKS_N_M = "''{step}' asks for {nm} N·m: {ranges}"
TAKE_OUT_THERE = "Take out {listed} there."
LIST_WRENCH_REACHES_UNDER_TOOLS = (
    "List a wrench that reaches it under tools, with its low, high and unit N·m."
)
AFTER_NO_TORQUE_GIVEN = "after ''{step}' {words_value}, and no torque is given"
BELT_TEETH_GOES_WELL = "a belt of {listed} teeth goes on as well as the one of {teeth}"
POINTER_ALONE_DOES_NOT_TELL = (
    "The pointer alone does not tell them apart: let a step count the teeth."
)
WRITE_TORQUE = "Write {torque} at the step."
