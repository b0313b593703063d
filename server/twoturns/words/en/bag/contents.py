"""What `twoturns/bag/contents.py` says."""

BYTES_NO_PRIVATE_VALUE = "[its bytes are no private value]"
NOT_BAG = "[not in this bag]"
NOT_RECEIVED_WORKSHOP_WHEN_BAG = "not received by the workshop when the bag was made"
COPY_WITHOUT_POSITION_NOT = "a copy without position, not proven"
