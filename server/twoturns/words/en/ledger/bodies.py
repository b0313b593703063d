"""What `twoturns/ledger/bodies.py` says."""

BAD_BODY_HINT = "The writer is not one of ours, or its program is damaged: update it."
