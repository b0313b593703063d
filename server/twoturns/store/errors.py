"""
What the store can refuse: a fact, a stable `code`, and a `hint` that says what to do.

    StoreError
    ├── NotAWorkshop      the folder holds no workshop, or already holds one
    ├── WorkshopFull      the disk of the workshop is (nearly) full
    ├── Damaged           what is on disk is not what was written
    ├── UploadRefused     a piece of an upload does not fit what is there
    ├── LineRefused       a line is no evidence here
    └── BundleRefused     a bundle cannot be published as it is
"""

from typing import ClassVar


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


class Damaged(StoreError):
    """What is on disk is not what was written. Never repaired: evidence is evidence."""

    code = "damaged"


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
        "invitation-over": "Ask the owner for a new invitation. If the workshop was restored, an "
        "owner's device brings the enrolment back: sign in with one.",
        "blob-erased": "It was erased by the owner's order; take it off the phone too.",
    }

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message, hint=self.HINTS[code], code=code)


class BundleRefused(StoreError):
    """A bundle cannot be published as it is."""

    code = "bundle-refused"
