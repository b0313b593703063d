"""What `twoturns/procedure/language/schema.py` says."""

IS_MISSING_HINT = "Write it."
DATE_FORM = "Write year, month and day: 2026-11-30."
VALUE_FORM = "Write it as condition=value."
CONDITION_FORM = "Write a condition, or condition=value."
DEED_FORM = "Write an action, or condition=value."
PROOF_FORM = "Write it as step.proof."
PICTURE_NAME_FORM = "Use small letters, digits, - and _, ending in .jpg, .png or .webp."
NONE_WRITTEN = "has nothing in it"
NONE_WRITTEN_HINT = "Write one at least."
NOT_SO_MANY_VALUES = "has to name 2 to 30 ways in which this can be"
NOT_SO_MANY_VALUES_HINT = (
    "The first is how a job begins, another is what a step leaves. What never changes is no "
    "condition: take it out, with all that asks for it."
)
SEE_EXAMPLE = "Look at the other procedures for an example."
NOT_KNOWN_HERE = "is not known here"
NOT_DEED = "is neither an action nor a move"
NOT_PROOF = "is not the proof of a step"
WAY_TWICE = "names a way twice"
WAY_AFTER_HAND = "names a way behind 'hand', which is always there"
WAY_UNIT_WRONG = "''{way}' reads in {either}"
WAY_NEEDS_LIMITS = "''{way}' needs low and high"
MARKS_NEED_WHEEL = "marks are those of a wheel: name it, and only then"
IS_MISSING = "is missing"
FIELD_UNFIT = "does not belong to a {kind}"
NO_LIMIT = "has no limit: write low, high or both"
NO_OPTION_OK = "has no option that is ok"
FINDING_NEVER_KEPT = (
    "stands at an answer that proves nothing, so it is never kept: say it at the failure"
)
NOT_DATE = "is not a day"
NOT_MOVE = "is not a move"
NOT_CONDITION = "is neither a condition nor a move"
NOT_PICTURE_NAME = "is not the file name of a picture"
CROP_OUTSIDE = "shows less than {least} hundredths of the picture, or more than there is of it"
ARROW_OUTSIDE = "is more than {most}"
UNKNOWN_WORD = "is not one of the words known here"
THE_SOURCE = "the source"
QUOTE_COMMA = "Text with a comma in it needs quotes inside {braces}."
OURS = {
    "Missing data for required field.": "is missing",
    "Unknown field.": "is not known here",
    "Invalid input type.": "is not a mapping",
    "Not a valid string.": "is not text",
    "Field may not be null.": "is empty",
}
