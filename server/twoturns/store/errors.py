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

from twoturns.words import t
from twoturns.words.en.store import errors as words

RESTORE: Final = t(words.DISK_MAY_FAILING_FILE_CHANGED)


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
            hint=hint or t(words.PUT_NEWEST_WORKSHOP_KEY_BACK),
        )


class WorkshopFull(StoreError):
    """The disk is below the floor that is kept free for small entries, or has no room at all."""

    code = "workshop-full"

    def __init__(self, free_bytes: int | None = None) -> None:
        free = (
            t(words.NO_ROOM_LEFT)
            if free_bytes is None
            else t(words.MIB_LEFT, mib=free_bytes // 2**20)
        )
        super().__init__(
            t(words.DISK_WORKSHOP_FULL, free=free),
            hint=t(words.FREE_SPACE_WORKSHOPS_COMPUTER),
        )


class BackupFull(WorkshopFull):
    """The disk of a backup has no room. What was in the backup is in it still."""

    code = "backup-full"

    def __init__(self, folder: object) -> None:
        StoreError.__init__(
            self,
            t(words.DISK_BACKUP_FULL_NO_ROOM, folder=str(folder)),
            hint=t(words.FREE_SPACE_THERE_NAME_FOLDER),
        )


class WorkshopLocked(StoreError):
    """Another program has held the ledger's file for longer than we wait. Nothing is wrong."""

    code = "workshop-locked"

    def __init__(self) -> None:
        super().__init__(
            t(words.ANOTHER_PROGRAM_WRITING_LEDGER),
            hint=t(words.WAIT_TRY_AGAIN_NOTHING_DAMAGED),
        )


class WorkshopShut(StoreError):
    """The folder cannot be opened, or not written: a matter of rights or of how it is mounted."""

    code = "workshop-shut"

    def __init__(self, what: str) -> None:
        super().__init__(
            t(words.WORKSHOPS_FOLDER_CANNOT_OPENED, what=what),
            hint=t(words.LET_USER_RUNS_WRITE_FOLDER),
        )


class Damaged(StoreError):
    """What is on disk is not what was written. Never repaired: evidence is evidence."""

    code = "damaged"


class BlobDamaged(Damaged):
    """A blob was `altered` on the workshop's disk, or is `missing` there. It does not go out."""

    code = "blob-damaged"

    def __init__(self, blob: str, found: Literal["altered", "missing"], of: str = "") -> None:
        self.blob, self.found = blob, found
        was = t(words.WAS_ALTERED) if found == "altered" else t(words.IS_MISSING)
        super().__init__(
            t(words.WORKSHOPS_DISK, of=of or t(words.THE_BLOB), blob=blob, was=was),
            hint=t(words.PHONE_STILL_SENDS_AGAIN_ITSELF),
        )


class RecordsLost(StoreError):
    """The ledger is smaller than it was, as when its log was lost. `size` is what is left."""

    code = "records-lost"

    def __init__(self, message: str, *, size: int) -> None:
        super().__init__(
            t(words.RECORDS_LOST, message=message),
            hint=t(words.IF_LEDGER_DB_WAL_MOVED, size=size),
        )


class UploadRefused(StoreError):
    """A piece of an upload does not fit what is there."""

    code = "upload"


class LineRefused(StoreError):
    """A line, or a private value, is no evidence here."""

    HINTS: ClassVar = {
        "foreign-workshop": t(words.SEND_WORKSHOP_WHOSE_ID_NAMES),
        "unknown-device": t(words.ENROL_DEVICE_INVITATION_OWNERS),
        "wrong-signature": t(words.LINE_CHANGED_AFTER_SIGNING_KEEP),
        "succession": t(words.DONE_WORKSHOPS_OWN_COMPUTER),
        "invitation-over": t(words.ASK_OWNER_NEW_INVITATION_IF),
        "held-full": t(words.STAYS_PHONE_WRITE_FILE_THERE),
        "unread-full": t(words.STAYS_PHONE_SENDS_AGAIN_WHEN),
        "not-found": t(words.STAYS_PHONE_DEVICE_MAY_NOT),
        "access-over": t(words.STAYS_PHONE_ASK_OWNER_NEW),
        "device-shut": t(words.STAYS_PHONE_OWNER_MAY_TAKE),
        "blob-erased": t(words.ERASED_OWNERS_ORDER_TAKE_OFF),
    }

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message, hint=self.HINTS[code], code=code)


class AppTooOld(StoreError):
    """An app is of an edition in which it cannot read who speaks for the workshop now."""

    code = "app-too-old"

    def __init__(self) -> None:
        super().__init__(
            t(words.APP_OLDER_THAN_RECORDS_KNOWS),
            hint="Update the app: close all its windows and open it again. What it holds stays on "
            "this phone and is sent then.",
        )


class BundleRefused(StoreError):
    """A bundle cannot be published as it is."""

    code = "bundle-refused"
