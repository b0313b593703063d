"""What `twoturns/ledger/private.py` says."""

BLOB_NOT_OURS_CHANGED_SEND = (
    "The blob is not one of ours, or was changed: send it as it was first written."
)
PRIVATE_VALUE_BYTES_MOST = "the private value has {data} bytes, at most {max_bytes}"
SAY_FEWER_WORDS_TWO_NOTES = "Say it in fewer words, or in two notes."
EXPECTED_MEMBERS_FIELD_SALT = "expected the members field, salt, value"
FIELD_UNKNOWN_EXPECTED = "field {field} is unknown; expected one of {expected}"
VALUE_MUST_TEXT = "value must be text"
