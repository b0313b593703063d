"""What `twoturns/web/session.py` says."""

DEVICE_NOT_ENROLLED_HERE = "this device is not enrolled here"
OWNER_SHUT_DEVICE_OUT = "the owner has shut this device out"
SIGNATURE_OVER_FRESH_NONCE_DOES = "the signature over a fresh nonce does not hold"
