"""What `twoturns/store/recalls.py` says."""

RECALL_LOT = "the recall of lot {lot}: {because}"
LOT_RECALLED = "lot {lot} was recalled: {because}"
