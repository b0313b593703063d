"""
What the store can refuse: a fact, a stable `code`, and a `hint` that says what to do.

    StoreError
    ├── NotAWorkshop      the folder holds no workshop, or already holds one
    ├── WrongKey          the key file is missing, or its key does not sign for the workshop
    ├── WorkshopFull      the disk of the workshop is (nearly) full
    │   └── BackupFull    that of a backup is
    ├── WorkshopLocked    another program holds the ledger's file
    ├── WorkshopAway      the ledger's server cannot be reached, or did not confirm
    │   └── OutcomeUnknown    after it was told to keep something
    ├── WorkshopShut      the folder cannot be opened, or not written
    │   └── WorkshopMoved     it names a place that the workshop was moved from
    ├── PhotosAway        the store of the photos does not answer
    ├── PhotosElsewhere   what is named as the place of the photos is not this workshop's
    ├── Damaged           what is on disk is not what was written
    │   └── BlobDamaged   of one blob
    ├── RecordsLost       the ledger is smaller than it was
    ├── UploadRefused     a piece of an upload does not fit what is there
    ├── LineRefused       a line is no evidence here
    ├── AppTooOld         an app cannot read who speaks for the workshop
    ├── BundleRefused     a bundle cannot be published as it is
    └── DraftRefused      a draft, or what is asked of it, is not as it must be
"""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import ClassVar, Final, Literal, TypeVar

from twoturns.words import t
from twoturns.words.en.store import errors as words

E = TypeVar("E", bound=Exception)
RESTORE: Final = t(words.RESTORE_BACKUP)


class StoreError(Exception):
    """A refusal by the store. `retry_after_s`: when the same may be asked again, if that helps."""

    code = "store"
    retry_after_s: ClassVar[int | None] = None
    particulars = ""  # for the workshop's own people alone, as they name its machines

    def __init__(self, message: str, *, hint: str, code: str | None = None) -> None:
        self.hint = hint
        if code is not None:
            self.code = code
        super().__init__(message)


@contextmanager
def told_as(kind: type[E], told: Callable[[E], StoreError | None]) -> Iterator[None]:
    """Raise an engine's failure as what it means for the workshop; a fault of ours as it is."""
    try:
        yield
    except kind as error:
        refusal = told(error)
        if refusal is None:
            raise
        raise refusal from error


class NotAWorkshop(StoreError):
    """The folder holds no workshop, or already holds one."""

    code = "not-a-workshop"


class WrongKey(StoreError):
    """The key file is missing, or its key does not sign for this workshop, or no longer does."""

    code = "wrong-key"

    def __init__(self, message: str, *, hint: str | None = None) -> None:
        super().__init__(
            message,
            hint=hint or t(words.WRONG_KEY_HINT),
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
            t(words.DISK_FULL, free=free),
            hint=t(words.DISK_FULL_HINT),
        )


class BackupFull(WorkshopFull):
    """The disk of a backup has no room. What was in the backup is in it still."""

    code = "backup-full"

    def __init__(self, folder: object) -> None:
        StoreError.__init__(
            self,
            t(words.BACKUP_DISK_FULL, folder=str(folder)),
            hint=t(words.BACKUP_DISK_FULL_HINT),
        )


class WorkshopLocked(StoreError):
    """Another program has held the ledger's file for longer than we wait. Nothing is wrong."""

    code = "workshop-locked"
    retry_after_s = 5

    def __init__(self) -> None:
        super().__init__(
            t(words.LEDGER_BUSY),
            hint=t(words.LEDGER_BUSY_HINT),
        )


class WorkshopAway(StoreError):
    """The ledger's server cannot be reached. Nothing was kept."""

    code = "workshop-away"
    retry_after_s = 5

    def __init__(self, particulars: str) -> None:
        self.particulars = particulars
        super().__init__(t(words.LEDGER_AWAY), hint=t(words.LEDGER_AWAY_HINT))


class OutcomeUnknown(WorkshopAway):
    """The server, or its standby, did not confirm: it may have been kept, or may yet be."""

    def __init__(self) -> None:
        super().__init__("")
        StoreError.__init__(self, t(words.NOT_CONFIRMED), hint=t(words.NOT_CONFIRMED_HINT))


class WorkshopShut(StoreError):
    """The folder cannot be opened, or not written: a matter of rights or of how it is mounted."""

    code = "workshop-shut"

    def __init__(self, what: str) -> None:
        super().__init__(
            t(words.FOLDER_CLOSED, what=what),
            hint=t(words.FOLDER_CLOSED_HINT),
        )


class WorkshopMoved(WorkshopShut):
    """The folder of this machine names a place that the ledger, or its photos, were moved from."""

    def __init__(self, particulars: str) -> None:
        self.particulars = particulars
        StoreError.__init__(self, t(words.MOVED), hint=t(words.MOVED_HINT))


class PhotosAway(StoreError):
    """The object store of the photos does not answer, or not as it should. Nothing is lost."""

    code = "photos-away"
    retry_after_s = 20

    def __init__(self, particulars: str) -> None:
        self.particulars = particulars  # for the workshop's own people: they name its machines
        super().__init__(t(words.PHOTOS_AWAY), hint=t(words.PHOTOS_AWAY_HINT))


class PhotosElsewhere(StoreError):
    """What is named as the place of the photos is none, or another workshop's."""

    code = "photos-elsewhere"

    def __init__(self, message: str, *, hint: str | None = None, particulars: str = "") -> None:
        self.particulars = particulars
        super().__init__(message, hint=hint or t(words.PHOTOS_ELSEWHERE_HINT))


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
            t(words.BLOB_GONE, of=of or t(words.THE_BLOB), blob=blob, was=was),
            hint=t(words.BLOB_GONE_HINT),
        )


class RecordsLost(StoreError):
    """The ledger is smaller than it was, as when its log was lost. `size` is what is left."""

    code = "records-lost"

    def __init__(self, message: str, *, size: int) -> None:
        super().__init__(
            t(words.RECORDS_LOST, message=message),
            hint=t(words.RECORDS_LOST_HINT, size=size),
        )


class UploadRefused(StoreError):
    """A piece of an upload does not fit what is there."""

    code = "upload"


class RefusedBy(StoreError):
    """A refusal of several kinds, each with its code, and the code's hint."""

    HINTS: ClassVar[Mapping[str, str]]

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message, hint=self.HINTS[code], code=code)


class LineRefused(RefusedBy):
    """A line, or a private value, is no evidence here."""

    HINTS: ClassVar = {
        "foreign-workshop": t(words.FOREIGN_WORKSHOP_HINT),
        "unknown-device": t(words.UNKNOWN_DEVICE_HINT),
        "wrong-signature": t(words.WRONG_SIGNATURE_HINT),
        "succession": t(words.SUCCESSION_HINT),
        "invitation-over": t(words.INVITATION_OVER_HINT),
        "held-full": t(words.HELD_FULL_HINT),
        "unread-full": t(words.UNREAD_FULL_HINT),
        "not-found": t(words.NOT_FOUND_HINT),
        "access-over": t(words.ACCESS_OVER_HINT),
        "device-shut": t(words.DEVICE_SHUT_HINT),
        "blob-erased": t(words.BLOB_ERASED_HINT),
    }


class AppTooOld(StoreError):
    """An app is of an edition in which it cannot read who speaks for the workshop now."""

    code = "app-too-old"

    def __init__(self) -> None:
        super().__init__(
            t(words.APP_TOO_OLD),
            hint="Update the app: close all its windows and open it again. What it holds stays on "
            "this phone and is sent then.",
        )


class BundleRefused(StoreError):
    """A bundle cannot be published as it is."""

    code = "bundle-refused"


class DraftRefused(RefusedBy):
    """A draft, or what is asked of it, is not as it must be."""

    HINTS: ClassVar = {
        "no-draft": t(words.NO_DRAFT_HINT),
        "draft-changed": t(words.DRAFT_CHANGED_HINT),
        "draft-exists": t(words.DRAFT_EXISTS_HINT),
        "draft-too-large": t(words.DRAFT_TOO_LARGE_HINT),
        "too-many-drafts": t(words.TOO_MANY_DRAFTS_HINT),
        "bad-zip": t(words.BAD_ZIP_HINT),
        "bad-picture": t(words.BAD_PICTURE_HINT),
        "bad-wheels": t(words.BAD_WHEELS_HINT),
        "check-busy": t(words.CHECK_BUSY_HINT),
        "not-proved": t(words.NOT_PROVED_HINT),
    }
