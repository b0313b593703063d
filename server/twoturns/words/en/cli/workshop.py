"""What `twoturns/cli/workshop.py` says."""

MADE_WORKSHOPS_FINGERPRINT = "{data}: made. The workshop's fingerprint, to be printed on paper:\n"
RECOVERY_KEY_PAPER_OWN_KEPT = (
    "Its recovery key, for a paper of its own; it is kept nowhere else, and shown once:"
)
WHOEVER_CAN_TAKE_WORKSHOP_OVER = (
    "Whoever has it can take the workshop over: keep it locked up, away from here."
)
KEEP_COPY_APART_BACKUPS_DO = "Keep a copy of {data} apart: backups do not hold it."
THEN_TWOTURNS_ENROL_ROLE_OWNER = "Then: twoturns enrol --role owner --name NAME"
NO_PLATE_YET = "no plate yet"
RECORDS_HOLD_VIEWS_COMPUTED = "{data}: {size} records hold, views computed anew."
BLOBS_KEPT_LEDGER_MISSING_DISK = (
    "{missing} blobs are kept by the ledger and missing on the disk:{listed}\nPut them "
    "back from a backup: twoturns scrub --from BACKUP. Phones that still have one of "
    "them send it again by themselves."
)
