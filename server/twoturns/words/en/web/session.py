"""What `twoturns/web/session.py` says."""

DEVICE_NOT_ENROLLED = "this device is not enrolled here"
DEVICE_SHUT_OUT = "the owner has shut this device out"
WRONG_SIGNATURE = "the signature over a fresh nonce does not hold"
