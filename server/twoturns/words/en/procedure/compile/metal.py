"""What `twoturns/procedure/compile/metal.py` says."""

PROOF_COVERS = "''{word}' is a proof, and nothing lies behind it"
PROOF_COVERS_HINT = "State behind at the part of the engine that covers another."
NEVER_AWAY = "something lies behind ''{word}', and it has no value that says that it is away"
NEVER_AWAY_HINT = "Give it the value off or out."
PART_OF_KIT = "part of the kit"
