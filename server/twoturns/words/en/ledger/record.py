"""What `ledger/record` says, here and on the phone."""

NOT_A_RECORD = "not a record: {text}; expected a time, an offset and an entry"
NOT_A_RECORD_HINT = "The text was cut or changed: take it again from the workshop or the bag."
