"""What `twoturns/store/check.py` says."""

RECORD_NOT_DEVICE_WORKSHOP = (
    "the record at {index} is not one that a device of this workshop signed"
)
