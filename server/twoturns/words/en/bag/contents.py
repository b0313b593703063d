"""What `twoturns/bag/contents.py` says."""

NO_PRIVATE_VALUE = "[its bytes are no private value]"
NOT_IN_BAG = "[not in this bag]"
NOT_RECEIVED = "not received by the workshop when the bag was made"
UNPROVEN_COPY = "a copy without position, not proven"
