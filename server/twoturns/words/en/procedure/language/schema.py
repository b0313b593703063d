"""What `twoturns/procedure/language/schema.py` says."""

WRITE_IT = "Write it."
USE_SMALL_LETTERS_DIGITS_LETTER = (
    "Use small letters, digits and _, a letter first, at most 64 characters."
)
WRITE_CONDITION_VALUE = "Write it as condition=value."
WRITE_CONDITION_CONDITION_VALUE = "Write a condition, or condition=value."
WRITE_ACTION_CONDITION_VALUE = "Write an action, or condition=value."
WRITE_STEP_PROOF = "Write it as step.proof."
WRITE_POINT_NO_UNIT = "Write it with a point and no unit: 26 or 0.05."
WRITE_DIGITS_ONLY = "Write digits only."
WRITE_YES_NO = "Write yes or no."
WRITE_LEAVE_WHOLE_LINE_OUT = "Write it, or leave the whole line out."
WRITE_VALUE_HERE = "Write one value here."
WRITE_LINE_EACH_BEGINNING = "Write one line for each, beginning with '- '."
WRITE_LINES_FORM_NAME_VALUE = "Write lines of the form 'name: value'."
USE_SMALL_LETTERS_DIGITS_ENDING = (
    "Use small letters, digits, - and _, ending in .jpg, .png or .webp."
)
LOOK_PROCEDURES_EXAMPLE = "Look at the other procedures for an example."
NOT_TEXT = "is not text"
IS_EMPTY = "is empty"
CHARACTERS_MOST = "has {words} characters, the most is {most}"
NOT_WHOLE_NUMBER = "is not a whole number"
NOT_YES_NO = "is not yes or no"
NOT_MAPPING = "is not a mapping"
NOT_NAME = "is not a name"
NOT_DECIMAL_NUMBER = "is not a decimal number"
NOT_LIST = "is not a list"
NOT_KNOWN_HERE = "is not known here"
NEITHER_ACTION_NOR_MOVE = "is neither an action nor a move"
NOT_PROOF_STEP = "is not the proof of a step"
NAMES_WAY_TWICE = "names a way twice"
NAMES_WAY_BEHIND_HAND_ALWAYS = "names a way behind 'hand', which is always there"
READS_IN = "''{way}' reads in {either}"
NEEDS_LOW_HIGH = "''{way}' needs low and high"
MARKS_THOSE_WHEEL_NAME_ONLY = "marks are those of a wheel: name it, and only then"
IS_MISSING = "is missing"
DOES_NOT_BELONG = "does not belong to a {kind}"
NO_LIMIT_WRITE_LOW_HIGH = "has no limit: write low, high or both"
NO_OPTION_OK = "has no option that is ok"
NOT_MOVE = "is not a move"
NEITHER_CONDITION_NOR_MOVE = "is neither a condition nor a move"
NOT_FILE_NAME_PICTURE = "is not the file name of a picture"
NOT_WORDS_KNOWN_HERE = "is not one of the words known here"
THE_SOURCE = "the source"
COMMA_NEEDS_QUOTES = "Text with a comma in it needs quotes inside {braces}."
OURS = {
    "Missing data for required field.": "is missing",
    "Unknown field.": "is not known here",
    "Invalid input type.": "is not a mapping",
    "Not a valid string.": "is not text",
    "Field may not be null.": "is empty",
}
