"""What `twoturns/ledger/canonical.py` says."""

BYTES_CHANGED_WAY_PROGRAM_WROTE = (
    "The bytes were changed on the way, or a program wrote them that does not know this "
    "form. Send them again exactly as they were signed."
)
NOT_JSON = "not JSON: {error}"
INTEGER_NOT_BELOW = "the integer {value}, which is not below 2^53"
KEY_EXPECTED_Z_Z = "the key {key}; expected [a-z][a-z0-9_]*"
DECIMAL_WRITTEN_STRING = "a {name}; a decimal is written as a string"
VALUE_MORE_THAN_DEEP = "a value more than {max_depth} deep"
TEXT_CHARACTERS_MOST = "a text of {text} characters; at most {max_text}"
TEXT_HALF_SURROGATE_PAIR = "a text with half a surrogate pair"
TEXT_NOT_UNICODE_FORM_NFC = "a text that is not in Unicode form NFC"
BYTE_NOT_CANONICAL_FOUND = "byte {at} is not canonical: found {got}, expected {want}"
