"""What `twoturns/bag/write.py` says."""

NO_BAG_MADE_NOBODY_COULD = "no bag is made that nobody could check: {what}"
ALL_STAYS_WORKSHOP_BACKUP_SHOWS = (
    "All of it stays in the workshop, and a backup shows it. If it is the photos, ask "
    "for copies of them; if somebody wrote without end, revoke that device."
)
BYTES_BLOB_HASH = "the bytes of blob {blob} hash to {found}"
PUT_BLOB_BACK_BACKUP_THEN = (
    "Put the blob back from a backup, then export again. No bag was finished."
)
