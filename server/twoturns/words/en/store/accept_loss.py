"""What `twoturns/store/accept_loss.py` says."""

LOST_NOTHING_EVER_SIGNED = "{folder} has lost nothing that it ever signed for"
CAN_SERVED = "It can be served as it is."
