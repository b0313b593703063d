"""What `twoturns/store/blob_facts.py` says."""

BLOB_NOT_READ = "blob {blob} was not read before the transaction"
