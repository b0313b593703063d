"""What `twoturns/ledger/canonical.py` says."""

NOT_CANONICAL_HINT = (
    "The bytes were changed on the way, or a program wrote them that does not know this "
    "form. Send them again exactly as they were signed."
)
NOT_JSON = "not JSON: {error}"
INTEGER_TOO_LARGE = "the integer {value}, which is not below 2^53"
BAD_KEY = "the key {key}; expected [a-z][a-z0-9_]*"
BARE_DECIMAL = "a {name}; a decimal is written as a string"
TOO_DEEP = "a value more than {max_depth} deep"
TEXT_TOO_LONG = "a text of {text} characters; at most {max_text}"
HALF_SURROGATE_PAIR = "a text with half a surrogate pair"
NOT_NFC = "a text that is not in Unicode form NFC"
BYTE_NOT_CANONICAL = "byte {at} is not canonical: found {got}, expected {want}"
