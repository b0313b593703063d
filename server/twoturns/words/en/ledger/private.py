"""What `ledger/private` says, here and on the phone."""

BAD_PRIVATE_VALUE_HINT = (
    "The blob is not one of ours, or was changed: send it as it was first written."
)
VALUE_TOO_LONG = "the private value has {data} bytes, at most {max_bytes}"
VALUE_TOO_LONG_HINT = "Say it in fewer words, or in two notes."
OTHER_MEMBERS = "expected the members field, salt, value"
UNKNOWN_FIELD = "field {field} is unknown; expected one of {expected}"
VALUE_NOT_TEXT = "value must be text"
OTHER_FIELD = "field is unknown; expected one of {expected}"
SALT = "salt: {error}"
NOT_TEXT = "value and salt must be text"
