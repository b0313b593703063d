"""What `twoturns/store/intake.py` says."""

THESE_BYTES_ERASED_HERE = "these bytes were erased here"
KEY_DID_NOT_SIGN = "the key of {device} did not sign it"
IT_IS_OF_WORKSHOP = "it is of workshop {workshop}"
