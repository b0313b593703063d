"""What `twoturns/cli/filling.py` says."""

FOLDING_JOBS = "The desk is made ready: {done} of {of} jobs."
