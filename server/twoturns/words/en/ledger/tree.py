"""What `twoturns/ledger/tree.py` says."""

NO_SUCH_PROOF = "no such proof: it asks for {asked} records and the ledger has {size}"
NO_SUCH_PROOF_HINT = "Take the newest checkpoint, and ask for a place below its size."
