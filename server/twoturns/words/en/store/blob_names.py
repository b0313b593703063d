"""What `twoturns/store/blob_names.py` says."""

OF_STEP = " of step {step}"
SHEET_READING = "sheet of a reading"
NAME_PERSON = "name of a person"
PRIVATE_VALUE = "private value {field}"
PICTURE_PROCEDURE = "picture of a procedure"
BLOB_NO_ENTRY_HERE_NAMES = "blob that no entry here names"
