"""What `twoturns/ledger/bodies_of_registers.py` says."""

DOCUMENT_MEMBERS = "blob, size and type"
PIECE_MEMBERS = "piece, says, picture"
