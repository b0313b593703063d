"""What `twoturns/store/desk.py` says."""

SAME_AS_EARLIER = "a photo or recording is the very same as one of an earlier entry"
