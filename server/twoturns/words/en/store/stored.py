"""What `twoturns/store/stored.py` says."""

RECORD_NOT_IN_TREE = "the record at {index} is not the one the tree was grown over"
