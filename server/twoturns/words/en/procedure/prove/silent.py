"""What `twoturns/procedure/prove/silent.py` says."""

RULE_SILENT = "is silent"
RULE_IN_PART = "is asked in part only"
RULE_NOT_ASKED = "the rule ''{rule}' {how}: this procedure has no {listed}"
ASKED = "{condition}: {values}"
OR = " or "
NEVER = "nothing that would allow it"
RULE_NOT_ASKED_HINT = (
    "The rule asks for {asked}. Name it as the rule does; or, if the engine has no such "
    "thing, write it under absent with the reason."
)
WORD_ABSENT = "''{word}' is absent: {because}"
WORD_ABSENT_RULES = "Not asked for that reason: {listed}."
NO_SUCH_WORDS = "this procedure has no {listed}"
NO_SUCH_WORDS_HINT = (
    "So it gives no occasion to ask all of {listed}. Right if the engine has no such "
    "thing; otherwise name it as the rules do."
)
