"""What `twoturns/procedure/blocks/compose.py` says."""

NO_MAPPING = "''{word}' is a mapping"
UNKNOWN_BLOCK = "there is no block ''{name}'"
CHOICE_NO_MAPPING = "what is filled in for block ''{name}' is a mapping"
CHOICE_NO_MAPPING_HINT = "Write 'name: value' lines below it."
NOBODY_ASKS = "no block takes ''{word}' from here"
FILLED_TWICE_HINT = "Every block that asks for it is given its own: take this one out."
NO_SUCH_STEP = "no block that is taken here has a step ''{name}'"
CALLED_HERE = "It is called ''{step}' here, by what is filled in: {words}."
STANDS_WHERE = (
    "Block ''{block}' has it only where ''{word}' is filled in and not ''no': take it out, or "
    "change that."
)
STANDS_WHERE_NOT = (
    "Block ''{block}' has it only where ''{word}' is ''no' or left out: take it out, or change "
    "that."
)
OTHER_EDITION = "block ''{block}' is of edition {edition} here"
OTHER_EDITION_HINT = "Read what has changed, prove the procedure anew and write this edition."
BLOCKS_DIFFER = "{one} and {other} say this each otherwise"
BLOCKS_DIFFER_HINT = "Take one of the two blocks, or give one of them another name here."
STEP_NOWHERE = "step ''{step}' of block ''{block}' stands nowhere in the order"
STEP_NOWHERE_HINT = "Write it under 'steps', or leave it out: 'without' at the block."
STEP_TWICE = "step ''{name}' stands twice in the order"
STEP_TWICE_HINT = "Take one of them out."
NOTHING_TO_LEAVE_OUT = "the step has no ''{what}' that could be left out"
