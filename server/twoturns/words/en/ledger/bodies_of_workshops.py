"""What `twoturns/ledger/bodies_of_workshops.py` says."""

SIGNED_BY_MEMBERS = "key and signature"
RECOVERED_MEMBERS = "recovery key, signature, size and root"
SCOPE_MEMBERS = "jobs, days, values, end"
FOUND_POINT_MEMBERS = "nominal, found, direction"
KEPT_BLOB_MEMBERS = "blob and size"
