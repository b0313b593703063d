"""What `twoturns/store/desk.py` says."""

PHOTO_RECORDING_VERY_SAME = "a photo or recording is the very same as one of an earlier entry"
