"""What `twoturns/ledger/tree.py` says."""

NO_SUCH_PROOF_ASKS_RECORDS = "no such proof: it asks for {asked} records and the ledger has {size}"
TAKE_NEWEST_CHECKPOINT_ASK = "Take the newest checkpoint, and ask for a place below its size."
