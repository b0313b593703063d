"""What `twoturns/procedure/language/former_words.py` says."""

BOTH_WORDS = "''{former}' is the former word for ''{present}', and both stand here"
BOTH_WORDS_HINT = "Write all of it under ''{present}'."
