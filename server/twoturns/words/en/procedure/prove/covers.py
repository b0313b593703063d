"""What `twoturns/procedure/prove/covers.py` says."""

MOVED_BEHIND = "''{step}' reaches the {label}, and {front}"
MOVED_BEHIND_HINT = (
    "What covers it comes off before it and goes on after it: change the order, ask for it, or "
    "mend what is stated under behind."
)
LOOKED_AT_HIDDEN = "''{step}' looks at {label}, and {front}"
LOOKED_AT_HIDDEN_HINT = "Look before it is covered, or at what can still be seen."
