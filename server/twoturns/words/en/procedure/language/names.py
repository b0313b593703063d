"""What `twoturns/procedure/language/names.py` says."""

BOTH_ENGINE_CONDITION_PROOF = "''{twice}' is both an engine condition and a proof"
GIVE_THEM_ANOTHER_NAME = "Give one of them another name."
PROOF_STARTS = "the proof ''{condition_id}' starts at ''{start}'"
PROOF_STARTS_UNPROVED_FIRST = (
    "A proof starts unproved, at its first value ''{values}': leave start out."
)
NOT_KNOWN = "the {what} ''{word}' is not known"
ENGINE_CONDITION = "engine condition"
VALUE_OF = "value of ''{id}'"
