"""What `twoturns/procedure/prove/tools.py` says."""

NOT_ON_BOARD = "''{step}' works with a {tool}, and none is on the board"
NOT_ON_BOARD_HINT = (
    "List it under tools, or as a part of a tray that is listed: what is not counted out cannot be "
    "counted back in."
)
SLOT_DISAGREES = "after ''{step}' {said}, and the board says otherwise of the {label}"
SLOT_DISAGREES_HINT = (
    "Name it under tools_out where it goes into the engine, and under tools_in where it comes out."
)
LEFT_BY_NOBODY = "a failure of ''{step}' leaves that {said}: it was not so before, nor on the way"
LEFT_BY_NOBODY_HINT = "Say how the engine is then, or let the step do it on its way."
