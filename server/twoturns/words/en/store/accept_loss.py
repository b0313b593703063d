"""What `twoturns/store/accept_loss.py` says."""

NOTHING_LOST = "{folder} has lost nothing that it ever signed for"
NOTHING_LOST_HINT = "It can be served as it is."
