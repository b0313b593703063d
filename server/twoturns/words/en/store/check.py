"""What `twoturns/store/check.py` says."""

RECORD_UNSIGNED = "the record at {index} is not one that a device of this workshop signed"
