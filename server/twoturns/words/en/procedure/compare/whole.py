"""What `twoturns/procedure/compare/whole.py` says."""

PROCEDURE = "whole job"
FIELD = {
    "id": "id, which makes it another procedure",
    "name": "name",
    "vehicle": "vehicle",
    "interrupt_minutes": "minutes until a begun step is looked at again",
}
ENGINES = "engines"
INTERVAL = "belt due again"
DUE = "{months} months or {km, number} km"
PHASE = "phase"
CONDITION = "condition"
PICTURE = "picture"
BLOCK = "block"
TOOL = "tool"
KIT = "part of the kit"
END = "end"
RULE = "rule ''{rule}'"
RULE_NEW = "holds now: never {never}"
RULE_GONE = "no longer holds: never {never}"
RULE_FIELD = {"kind": "stop or ask", "never": "never", "because": "because"}
WORD_NEW = (
    "is now taken otherwise, on the {whose}'s word: “{says}” Source: {source}. "
    "No longer asked for: {gone}"
)
WORD_GONE = "the house rule holds again, no longer the {whose}'s word: “{says}”"
WORD = {
    "says": "maker's word",
    "why": "why",
    "never": "house rule",
    "because": "house rule's reason",
    "holds": "what holds in its place",
    "gone": "what is no longer asked for",
}
SOURCE = "source"
WHOSE = "whose word"
CITED = "{document}, edition {edition}, {page}, {date}"
NOTHING = "nothing"
DRIVE = "drive"
RUNNING = "running"
BELT = "belt"
WHEEL = "wheel"
SPAN = "span to pluck"
ORDER = "fitting order"
COUNT = "teeth counted"
BETWEEN = "from {first} to {last}"
ITEM = "{what} ''{name}'"
NEW = "new: {fields}"
GONE = "no longer there"
ANOTHER_ORDER = "{what} stands in another order: {order}"
MILLIMETRES = "{n} mm"
DEGREES = "{n}°"
YES = "yes"
NO = "no"
