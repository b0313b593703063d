"""What `twoturns/bag/write.py` says."""

CANNOT_BE_CHECKED = "no bag is made that nobody could check: {what}"
CANNOT_BE_CHECKED_HINT = (
    "All of it stays in the workshop, and a backup shows it. If it is the photos, ask "
    "for copies of them; if somebody wrote without end, revoke that device."
)
BLOB_DIFFERS = "the bytes of blob {blob} hash to {found}"
BLOB_DIFFERS_HINT = "Put the blob back from a backup, then export again. No bag was finished."
