"""What `twoturns/store/draft_checks.py` says."""

BUSY = "{most} drafts are being checked already"
DOES_NOT_END = "the check before this one does not end"
