"""What `twoturns/procedure/blocks/block.py` says."""

NOT_EDITION = "is not the number of an edition"
NAME_TAKEN = "''{word}' is said of every block: none can ask for it under this name"
NAME_TAKEN_HINT = "Call it otherwise."
