"""What `twoturns/procedure/prove/taken_blocks.py` says."""

WITHDRAWN = "edition {edition} of block ''{block}' is withdrawn: {because}"
WITHDRAWN_HINT = (
    "Take a newer edition of it, or write its steps yourself. 'twoturns procedure blocks' names "
    "the published procedures that were made with it."
)
