"""What `twoturns/store/draft_changes.py` says."""

NOT_COMPILED = "no check has compiled this draft"
