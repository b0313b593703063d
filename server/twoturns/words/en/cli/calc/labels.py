"""What `twoturns/cli/calc/labels.py` says."""

LOOK_AGAIN = "look again at"
GOOD_UNTIL = "good until"
EXPIRED = "It was good until {expires}: do not fit it."
