"""What `ledger/bodies` says, here and on the phone."""

BAD_BODY_HINT = "The writer is not one of ours, or its program is damaged: update it."
