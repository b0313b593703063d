"""What `twoturns/ledger/bodies_of_pages.py` says."""

ROW_MEMBERS = "under, name, says or value"
PHOTO_MEMBERS = "photo, label"
