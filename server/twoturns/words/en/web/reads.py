"""What `twoturns/web/reads.py` says."""

MUST_WHOLE_NUMBER_UP = "{header} must be a whole number from 1 up"
