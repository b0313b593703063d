"""What `twoturns/bag/growth.py` says."""

CHECKPOINT_KEPT = "the checkpoint that was kept"
CONSISTENCY_PROOF = "the consistency proof"
KEEP_BOTH_ASK_WORKSHOP_TWO = (
    "Keep both, and ask the workshop. One of the two was shown to one reader only."
)
RECORDS_ANOTHER_ROOT_THAN_BAGS = (
    "at {size} records it has another root than the bag's: there are two ledgers"
)
ASK_WORKSHOP_API_CONSISTENCY = (
    "Ask the workshop at /api/consistency?from={old}&to={new} and give its answer "
    "with --consistency FILE, or ask for a bag made by export --since."
)
GROWTH_NOT_PROVEN = (
    "that the ledger of {new} records grew out of the one of {old}: growth not proven"
)
LEDGER_RECORDS_DOES_NOT_BEGIN = (
    "the ledger of {new} records does not begin with the {old}: two ledgers"
)
GIVE_JSON_API_CONSISTENCY = "Give the JSON that /api/consistency answered, as it was."
NOT_ANSWER_API_CONSISTENCY = "it is not an answer of /api/consistency"
NO_KEY_WORKSHOP_SIGNED = "no key of this workshop signed it"
NOT_FORM_PROOF_BETWEEN_TWO = "it has not the form of a proof between the two sizes"
