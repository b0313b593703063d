"""
What goes into a bag, and what checking one can find.

    LedgerError
    ├── BlobDiffers     a blob's bytes do not hash to its name: nothing is exported
    ├── BagTooLarge     it would be more than is read when it is checked: nothing is exported
    └── BagUnreadable   the file is no bag that can be looked into safely

Pure: gathering evidence from a workshop's folder is `twoturns.store.gather`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import BinaryIO, Literal

from twoturns.ledger.checkpoint import Checkpoint
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.record import Record

DisclosureState = Literal["disclosed", "copy", "withheld", "erased", "absent"]


class BlobDiffers(LedgerError):
    """The bytes of `blob` do not hash to its name."""

    code = "blob-differs"

    def __init__(self, message: str, *, hint: str, blob: str) -> None:
        super().__init__(message, hint=hint)
        self.blob = blob


class BagTooLarge(LedgerError):
    """The bag would be more than is read of one."""

    code = "bag-too-large"


class BagUnreadable(LedgerError):
    """The file is no bag that can be looked into safely."""

    code = "bag-unreadable"


@dataclass(frozen=True)
class Disclosure:
    """What the bag does with one blob: show it, show a copy, or say why it is not there."""

    blob: str
    state: DisclosureState
    reason: str | None = None


@dataclass(frozen=True)
class Evidence:
    """
    All that a bag is made of.

    `records` are `(index, record)` in ascending order: the job's, the workshop statements they
    lean on, and for each of the job's entries what its device wrote before it or under its
    number. `files` are the blobs that leave with the bag, by their path in it; each opens its
    bytes anew.
    """

    job: str
    workshop: str
    records: tuple[tuple[int, Record], ...]
    paths: Mapping[int, tuple[bytes, ...]]
    checkpoint: str
    """The signed note, and below what it says."""
    head: Checkpoint
    bundle: bytes
    files: Mapping[str, Callable[[], BinaryIO]]
    disclosures: tuple[Disclosure, ...]
    made_on: str
    """The day the bag was made, `YYYY-MM-DD`, by the clock of who made it."""
    sign: Callable[[str], str]
    """Returns the signed note of a text, by the key that signed the checkpoint."""
    since: tuple[Checkpoint, str, tuple[bytes, ...]] | None = None
    """What the reader kept: a checkpoint, its note, and the path from it to `head`."""


@dataclass(frozen=True)
class Finding:
    """Something in a bag that does not hold: which file, what is so, what to do."""

    code: str
    file: str
    what: str
    hint: str
