"""What `twoturns/ledger/receipt.py` says."""

BAD_RECEIPT_HINT = (
    "Ask the owner for a new invitation; what this device holds is sent when it is in."
)
OTHER_ENROLMENT = "it is of another enrolment"
OTHER_INVITATION = "it shows another invitation"
CHECKPOINT_NOT_SIGNED = "the key of this workshop did not sign its checkpoint"
PROOF_FAILS = "a proof does not lead to its checkpoint"
BAD_RECEIPT = "the receipt of the enrolment does not hold: {why}"
