"""What `twoturns/store/recalls.py` says."""

DONE_AGAINST = {
    "closed-against-recall": "finished against the recall of lot {lot}: {because}",
    "approved-against-recall": "approved against the recall of lot {lot}: {because}",
}
LOT_RECALLED = "lot {lot} is recalled: {because}"
