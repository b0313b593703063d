"""What `twoturns/procedure/language/source.py` says."""

SOURCE_BYTES_MOST = "the source has {text} bytes, the most is {most_bytes}"
PUT_PICTURES_BESIDE_SOURCE = "Put pictures beside the source as files, not into it."
SOURCE_NOT_MAPPING = "the source is not a mapping"
BYTE_X_NOT_UTF = "byte 0x{text} is not UTF-8"
SAVE_FILE_UTF = "Save the file as UTF-8."
SECOND_DOCUMENT_BEGINS = "a second document begins"
KEEP = "Keep one."
NOT_YAML = "this is not YAML: {what}"
NO_READABLE_YAML = "this is not YAML: {reason}"
NESTED_DEEPER_THAN_LEVELS = "this is nested deeper than {deepest} levels"
NOTHING_PROCEDURE_NEEDS = "Nothing in a procedure needs that."
IS_AN_ALIAS = "'*{anchor}' is an alias"
IS_AN_ANCHOR = "'&{anchor}' is an anchor"
IS_A_TAG = "''{tag}' is a tag"
LEAVE_TAG_OUT = "Leave the tag out."
KEY_NOT_WORD = "a key is not a word"
WRITE_NAME_VALUE = "Write 'name: value'."
STANDS_TWICE_FIRST_LINE = "''{key_value}' stands twice, first on line {first}"
KEEP_TWO = "Keep one of the two."
LOOK_INDENTATION_PUT_TEXT_HOLDS = (
    "Look at the indentation, and put text that holds ': ' or ' #' in quotes."
)
WRITE_VALUE_OUT_WHERE_USED = (
    "Write the value out where it is used: anchors and aliases are not read."
)
