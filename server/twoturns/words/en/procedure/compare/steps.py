"""What `twoturns/procedure/compare/steps.py` says."""

STEP = "step {number}"
UNNUMBERED = "way back ''{title}'"
WAS = "{step} (was {number})"
WAS_NUMBER = "was step {number}"
OF_THE_FORMER = "{place} of the former edition"
ADDED = "''{title}' is new, after ''{after}'"
TAKEN_AWAY = "''{title}' is taken away; it stood after ''{after}'"
MOVED = "''{title}' stands now after ''{stands}', stood after ''{stood}'"
THE_BEGINNING = "the beginning"
PHASE = "phase"
TORQUE = "torque"
STAGES = "stages"
CAUTION = "caution"
PICTURE = "picture"
PICTURE_SAYS = "line beside the picture"
PICTURE_SHOWN_OTHERWISE = {
    "crop": "another part of the picture is shown",
    "arrow": "the arrow on the picture is another",
}
WARNED = "“{says}” ({sign})"
USES = "parts used"
USED = "{count} x {part}"
FIELD = {
    "tools_out": "tools taken out",
    "tools_in": "tools put back",
    "title": "title",
    "act": "key",
    "because": "reason",
    "look": "looked at",
    "drawn": "drawn",
    "together": "done together as",
    "permit": "done by permit",
}
IS_SO = {
    "undo": "{so, select, true {is now a way back} other {is no longer a way back}}",
    "must": "{so, select, true {must now be done} other {need no longer be done}}",
    "once": "{so, select, true {can now be done once only} other {can now be done again}}",
}
UNDER_WORD = "comes now under the maker's word for ''{rule}'"
NO_LONGER_UNDER_WORD = "no longer comes under the maker's word for ''{rule}'"
FAILURE = "failure ''{name}'"
FAILURE_NEW = "can fail so, new: “{says}” Then: “{then}”"
FAILURE_GONE = "a failure less: “{says}” Then: “{then}”"
FAILURE_FOUND = "{so, select, true {is now a finding} other {is no longer a finding}}"
FAILS = {"says": "what is seen", "then": "what to do"}
