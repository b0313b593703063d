"""What `twoturns/cli/workshop.py` says."""

WORKSHOP_MADE = "{data}: made. The workshop's fingerprint, to be printed on paper:\n"
RECOVERY_KEY_SHOWN_ONCE = (
    "Its recovery key, for a paper of its own; it is kept nowhere else, and shown once:"
)
LOCK_RECOVERY_KEY_UP = (
    "Whoever has it can take the workshop over: keep it locked up, away from here."
)
KEEP_KEY_COPY = "Keep a copy of {data} apart: backups do not hold it."
THEN_ENROL_OWNER = "Then: twoturns enrol{named} --role owner --name NAME"
NO_PLATE = "no plate yet"
CHECKED = "{data}: {size} records hold, views computed anew."
BLOBS_MISSING = (
    "{missing, plural, one {# photo or value is} other {# photos or values are}} kept by the "
    "ledger and missing on the disk:{listed}\nPut {missing, plural, one {it} other {them}} back "
    "from a backup: twoturns scrub --from BACKUP. A phone that still has one sends it again by "
    "itself."
)
