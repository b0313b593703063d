"""What `twoturns/ledger/bodies_of_enquiries.py` says."""

ANSWER_MEMBERS = "ask, said"
