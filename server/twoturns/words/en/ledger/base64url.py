"""What `ledger/base64url` says, here and on the phone."""

BASE64URL_OF_SIZE = "{size} bytes in base64url"
NOT_BASE64URL = "{text} is not {wanted} without padding"
NOT_BASE64URL_HINT = "Send the text again as it was made; nothing was cut off or added to it."
OTHER_TEXT = "{text} is not {wanted}"
