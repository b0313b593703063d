"""
What the store can refuse: a fact, a stable `code`, and a `hint` that says what to do.

    StoreError
    ├── NotAWorkshop      the folder holds no workshop, or already holds one
    ├── WrongKey          the key file is missing, or its key does not sign for the workshop
    ├── WorkshopFull      the disk of the workshop is (nearly) full
    │   └── BackupFull    that of a backup is
    ├── WorkshopLocked    another program holds the ledger's file
    ├── WorkshopShut      the folder cannot be opened, or not written
    ├── Damaged           what is on disk is not what was written
    │   └── BlobDamaged   of one blob
    ├── RecordsLost       the ledger is smaller than it was
    ├── UploadRefused     a piece of an upload does not fit what is there
    ├── LineRefused       a line is no evidence here
    ├── AppTooOld         an app cannot read who speaks for the workshop
    └── BundleRefused     a bundle cannot be published as it is
"""

from typing import ClassVar, Final, Literal

RESTORE: Final = (
    "The disk may be failing, or the file was changed outside the program. Stop, keep this folder "
    "as it is, and put the newest backup into a new one: twoturns restore BACKUP --data NEW"
)


class StoreError(Exception):
    """A refusal by the store."""

    code = "store"

    def __init__(self, message: str, *, hint: str, code: str | None = None) -> None:
        self.hint = hint
        if code is not None:
            self.code = code
        super().__init__(message)


class NotAWorkshop(StoreError):
    """The folder holds no workshop, or already holds one."""

    code = "not-a-workshop"


class WrongKey(StoreError):
    """The key file is missing, or its key does not sign for this workshop, or no longer does."""

    code = "wrong-key"

    def __init__(self, message: str, *, hint: str | None = None) -> None:
        super().__init__(
            message,
            hint=hint
            or "Put the newest workshop.key back from where it is kept apart from the backups. If "
            "it is lost, or somebody else has it: twoturns key recover, with the recovery key from "
            "paper.",
        )


class WorkshopFull(StoreError):
    """The disk is below the floor that is kept free for small entries, or has no room at all."""

    code = "workshop-full"

    def __init__(self, free_bytes: int | None = None) -> None:
        free = "no room is left" if free_bytes is None else f"{free_bytes // 2**20} MiB are left"
        super().__init__(
            f"the disk of the workshop is full: {free}",
            hint="Free space on the workshop's computer. Nothing is lost: the phone keeps it "
            "and sends it again.",
        )


class BackupFull(WorkshopFull):
    """The disk of a backup has no room. What was in the backup is in it still."""

    code = "backup-full"

    def __init__(self, folder: object) -> None:
        StoreError.__init__(
            self,
            f"the disk of the backup is full: no room is left for {folder}",
            hint="Free space there, or name a folder on a larger disk. The ledgers that were in "
            "the backup are in it still.",
        )


class WorkshopLocked(StoreError):
    """Another program has held the ledger's file for longer than we wait. Nothing is wrong."""

    code = "workshop-locked"

    def __init__(self) -> None:
        super().__init__(
            "another program is writing to the ledger, and has not come to its end",
            hint="Wait and try again: nothing is damaged and nothing is lost. A rebuild, a copy "
            "or a virus scanner may be at work in the folder.",
        )


class WorkshopShut(StoreError):
    """The folder cannot be opened, or not written: a matter of rights or of how it is mounted."""

    code = "workshop-shut"

    def __init__(self, what: str) -> None:
        super().__init__(
            f"the workshop's folder cannot be opened or written: {what}",
            hint="Let the user that runs this write in the folder, and see that its disk is "
            "mounted for writing. The ledger is as it was.",
        )


class Damaged(StoreError):
    """What is on disk is not what was written. Never repaired: evidence is evidence."""

    code = "damaged"


class BlobDamaged(Damaged):
    """A blob was `altered` on the workshop's disk, or is `missing` there. It does not go out."""

    code = "blob-damaged"

    def __init__(self, blob: str, found: Literal["altered", "missing"], of: str = "") -> None:
        self.blob, self.found = blob, found
        was = "was altered" if found == "altered" else "is missing"
        super().__init__(
            f"{of or 'the blob'} ({blob}) {was} on the workshop's disk",
            hint="A phone that still has it sends it again by itself. Or bring it back from a "
            "backup (twoturns scrub --from) or from a phone's file (twoturns import). If nobody "
            "has it any more: twoturns erase lost.",
        )


class RecordsLost(StoreError):
    """The ledger is smaller than it was, as when its log was lost. `size` is what is left."""

    code = "records-lost"

    def __init__(self, message: str, *, size: int) -> None:
        super().__init__(
            f"records are lost: {message}",
            hint="If ledger.db-wal was moved away, put it back. Else restore a backup of more than "
            f"{size} records; or go on with these {size}, and let the phones bring what they have: "
            "twoturns accept-loss",
        )


class UploadRefused(StoreError):
    """A piece of an upload does not fit what is there."""

    code = "upload"


class LineRefused(StoreError):
    """A line, or a private value, is no evidence here."""

    HINTS: ClassVar = {
        "foreign-workshop": "Send it to the workshop whose id it names.",
        "unknown-device": "Enrol this device with an invitation of the owner's, then send again.",
        "wrong-signature": "The line was changed after signing. Keep it on the device and tell "
        "the owner: this does not happen by itself.",
        "succession": "It is done on the workshop's own computer: twoturns key. After a restore, "
        "put the newest workshop.key into its folder: it tells the ledger how it came to be.",
        "invitation-over": "Ask the owner for a new invitation. If the workshop was restored, an "
        "owner's device brings the enrolment back: sign in with one.",
        "held-full": "It stays on the phone: write it to a file there, and bring that to the "
        "workshop's computer (twoturns import). What the owner accepts makes room again.",
        "unread-full": "It stays on the phone, which sends it again when the app is started. The "
        "app is newer than the workshop's program: bring that up to date, and it is read.",
        "not-found": "It stays on the phone. What this device may not see it cannot write into: "
        "ask the owner.",
        "access-over": "It stays on the phone. Ask the owner for a new invitation; what was noted "
        "before may come by the phone's file (twoturns import).",
        "device-shut": "It stays on the phone: the owner may take it in from a file that the phone "
        "writes (twoturns import).",
        "blob-erased": "It was erased by the owner's order; take it off the phone too.",
    }

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message, hint=self.HINTS[code], code=code)


class AppTooOld(StoreError):
    """An app is of an edition in which it cannot read who speaks for the workshop now."""

    code = "app-too-old"

    def __init__(self) -> None:
        super().__init__(
            "this app is older than the records by which one knows the workshop's key",
            hint="Update the app: close all its windows and open it again. What it holds stays on "
            "this phone and is sent then.",
        )


class BundleRefused(StoreError):
    """A bundle cannot be published as it is."""

    code = "bundle-refused"
