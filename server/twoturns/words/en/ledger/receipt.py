"""What `twoturns/ledger/receipt.py` says."""

ASK_OWNER_NEW_INVITATION_DEVICE = (
    "Ask the owner for a new invitation; what this device holds is sent when it is in."
)
ANOTHER_ENROLMENT = "it is of another enrolment"
SHOWS_ANOTHER_INVITATION = "it shows another invitation"
KEY_WORKSHOP_DID_NOT_SIGN = "the key of this workshop did not sign its checkpoint"
PROOF_DOES_NOT_LEAD_CHECKPOINT = "a proof does not lead to its checkpoint"
RECEIPT_ENROLMENT_DOES_NOT_HOLD = "the receipt of the enrolment does not hold: {why}"
