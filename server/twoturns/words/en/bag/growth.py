"""What `twoturns/bag/growth.py` says."""

KEPT_CHECKPOINT = "the checkpoint that was kept"
CONSISTENCY_PROOF = "the consistency proof"
TWO_LEDGERS_HINT = "Keep both, and ask the workshop. One of the two was shown to one reader only."
OTHER_ROOT = "at {size} records it has another root than the bag's: there are two ledgers"
GROWTH_NOT_PROVEN_HINT = (
    "Open /api/consistency?from={old}&to={new} at the workshop's address: it answers whoever "
    "asks, without signing in. Keep what it says as a file and give that (--consistency FILE), or "
    "ask the workshop for a bag made since that checkpoint (export --since)."
)
GROWTH_NOT_PROVEN = (
    "that the ledger of {new} records grew out of the one of {old}: growth not proven"
)
OTHER_BEGINNING = "the ledger of {new} records does not begin with the {old}: two ledgers"
BAD_PROOF_ANSWER_HINT = "Give the JSON that /api/consistency answered, as it was."
BAD_PROOF_ANSWER = "it is not an answer of /api/consistency"
NOT_SIGNED = "no key of this workshop signed it"
MALFORMED_PROOF = "it has not the form of a proof between the two sizes"
