"""What `twoturns/store/stored.py` says."""

RECORD_NOT_TREE_GROWN_OVER = "the record at {index} is not the one the tree was grown over"
