"""What `twoturns/ledger/bodies.py` says."""

WRITER_NOT_OURS_PROGRAM_DAMAGED = (
    "The writer is not one of ours, or its program is damaged: update it."
)
