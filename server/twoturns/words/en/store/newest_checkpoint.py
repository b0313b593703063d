"""What `twoturns/store/newest_checkpoint.py` says."""

IS_MISSING = "{path} is missing"
HOLDS_NO_CHECKPOINT_WORKSHOP = "{path} holds no checkpoint of this workshop"
LEDGER_RECORDS = "the ledger has {size} records, and had {had}"
FIRST_RECORDS_NOT_THOSE = "the first {size} records are not those that the workshop had signed for"
