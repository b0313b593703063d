"""What `twoturns/procedure/language/names.py` says."""

CONDITION_AND_PROOF = "''{twice}' is both an engine condition and a proof"
CONDITION_AND_PROOF_HINT = "Give one of them another name."
PROOF_STARTS_PROVED = "the proof ''{condition_id}' starts at ''{start}'"
PROOF_STARTS_PROVED_HINT = (
    "A proof starts unproved, at its first value ''{values}': leave start out."
)
UNKNOWN_NAME = "the {what} ''{word}' is not known"
BROUGHT_BY = (
    "''{word}' comes with a block that is not taken here: {blocks}. Take it under ''blocks', or "
    "say otherwise what asks for it."
)
ENGINE_CONDITION = "engine condition"
VALUE_OF = "value of ''{id}'"
