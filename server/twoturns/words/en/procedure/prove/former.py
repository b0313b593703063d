"""What `twoturns/procedure/prove/former.py` says."""

FORMER_WORD = (
    "''{former}' is called ''{present}' now and stands "
    "{times, plural, one {once} other {# times}} here"
)
FORMER_WORD_HINT = "It is still read as it was meant. Write the present word at the next change."
