"""What `twoturns/store/keyring.py` says."""

NOT_CURRENT_KEY = (
    "{path} does not hold the key that signs for this workshop now: that is {current}, "
    "the file has {key}"
)
IS_MISSING = "{path} is missing"
HOLDS_NO_KEY = "{path} holds no key"
