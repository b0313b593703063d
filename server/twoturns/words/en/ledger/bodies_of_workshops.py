"""What `twoturns/ledger/bodies_of_workshops.py` says."""

KEY_SIGNATURE = "key and signature"
RECOVERY_KEY_SIGNATURE_SIZE = "recovery key, signature, size and root"
JOBS_DAYS_VALUES_END = "jobs, days, values, end"
BLOB_SIZE = "blob and size"
