"""What `twoturns/store/intake.py` says."""

BYTES_ERASED = "these bytes were erased here"
WRONG_SIGNATURE = "the key of {device} did not sign it"
FOREIGN_WORKSHOP = "it is of workshop {workshop}"
