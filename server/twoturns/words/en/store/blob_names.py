"""What `twoturns/store/blob_names.py` says."""

OF_STEP = " of step {step}"
READING_SHEET = "sheet of a reading"
PERSON_NAME = "name of a person"
REGISTER_FILE = "file on a register"
PRIVATE_VALUE = "private value {field}"
PROCEDURE_PICTURE = "picture of a procedure"
NAMED_BY_NONE = "blob that no entry here names"
