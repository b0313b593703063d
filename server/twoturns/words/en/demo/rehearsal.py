"""What `twoturns/demo/rehearsal.py` says."""

WORKSHOP = "Rehearsal"
PLATE = "SAVED {n}"
