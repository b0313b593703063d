"""What `twoturns/ledger/record.py` says."""

NOT_RECORD_EXPECTED_TIME_OFFSET = "not a record: {text}; expected a time, an offset and an entry"
TEXT_CUT_CHANGED_TAKE_AGAIN = (
    "The text was cut or changed: take it again from the workshop or the bag."
)
