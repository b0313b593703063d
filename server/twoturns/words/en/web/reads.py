"""What `twoturns/web/reads.py` says."""

NOT_POSITIVE = "{header} must be a whole number from 1 up"
