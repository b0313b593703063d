"""What `twoturns/procedure/prove/stale.py` says."""

PROOF_WITHOUT_GROUND = "{proof}, while {on}, on which it rests"
COMPILED_ELSEWHERE = "This bundle was not compiled by this program: compile it again."
STILL_PROVED = "{said}, and still so when {words_value}"
STILL_PROVED_HINT = "Write under voids that ''{undone}' takes it away."
