"""What `twoturns/store/newest_checkpoint.py` says."""

IS_MISSING = "{path} is missing"
HOLDS_NO_CHECKPOINT = "{path} holds no checkpoint of this workshop"
FEWER_RECORDS = "the ledger has {size} records, and had {had}"
FIRST_RECORDS_DIFFER = "the first {size} records are not those that the workshop had signed for"
