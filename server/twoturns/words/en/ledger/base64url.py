"""What `twoturns/ledger/base64url.py` says."""

BYTES_BASE_URL = "{size} bytes in base64url"
NOT_WITHOUT_PADDING = "{text} is not {wanted} without padding"
SEND_TEXT_AGAIN_MADE_NOTHING = (
    "Send the text again as it was made; nothing was cut off or added to it."
)
