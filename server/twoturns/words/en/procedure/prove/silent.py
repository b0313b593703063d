"""What `twoturns/procedure/prove/silent.py` says."""

IS_SILENT = "is silent"
ASKED_PART_ONLY = "is asked in part only"
RULE_PROCEDURE_NO = "the rule ''{rule}' {how}: this procedure has no {listed}"
NAME_RULE_DOES_IF_ENGINE = (
    "Name it as the rule does; or, if the engine has no such thing, write it under "
    "absent with the reason."
)
IS_ABSENT = "''{word}' is absent: {because}"
NOT_ASKED_REASON = "Not asked for that reason: {listed}."
PROCEDURE_NO = "this procedure has no {listed}"
GIVES_NO_OCCASION_ASK_ALL = (
    "So it gives no occasion to ask all of {listed}. Right if the engine has no such "
    "thing; otherwise name it as the rules do."
)
