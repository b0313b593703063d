"""
The photo port: bytes under their SHA-256, wherever they lie. One of the two truths.

What lies behind it is chosen by a URL (`photos_at.py`): a folder of this machine (`blob_folder.py`)
or a bucket of an S3-compatible object store (`blob_bucket.py`). Both promise the same, and the same
tests ask it of both (`tests/server/store/test_photo_port.py`):

- what has a name is whole: bytes are hashed before they get it, and read back before anybody says
  that they are kept. Whether the workshop has *kept* a blob is not asked here: that is a signed
  `blob.kept` in the ledger, written after this;
- nothing leaves before it was read through: `read` and `open_whole` hash first, whatever the store
  says of itself. What a blob hashed to is remembered for some minutes for as long as it is the very
  same one (`Remembered`): a phone asks for a photo in parts, and a page for dozens;
- other bytes under a name are evidence, too: they are never removed and never written over, but set
  aside when the right bytes come;
- what is erased is gone with every version of it, its thumbnail, and what was set aside.

A store that does not answer raises `PhotosAway`; nothing is said of its blobs then.
"""

import hashlib
import time
from abc import abstractmethod
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import BinaryIO, Literal, Protocol

from twoturns.ledger.forms import SHA256, is_formed
from twoturns.store.blob_checks import Checks, Found
from twoturns.store.errors import BlobDamaged
from twoturns.words import t
from twoturns.words.en.store import blobs as words

PIECE_BYTES = 1 << 20
WRITERS = 8
REMEMBERED_SECONDS = 600  # a disk that fails under an unchanged file is heard of after that
REMEMBERED_BLOBS = 20_000


class Blobs(Protocol):
    """Where blobs lie. `checks` hears of each that is not whole; without it nobody does."""

    checks: Checks | None
    #: Where that is, to be told; empty if it is this workshop's own disk.
    place: str

    @abstractmethod
    def has(self, sha256: str) -> bool:
        """Say whether something has the name."""

    @abstractmethod
    def size(self, sha256: str) -> int:
        """Return the size in bytes. Raises FileNotFoundError if it is not here."""

    @abstractmethod
    def open(self, sha256: str) -> BinaryIO:
        """Open for reading, unchecked. Raises FileNotFoundError if it is not here."""

    @abstractmethod
    def open_whole(self, sha256: str) -> BinaryIO:
        """
        Open for reading, once all of it was found to hash to its name.

        Raises:
            BlobDamaged: If it does not, or if it is not here.
        """

    @abstractmethod
    def read(self, sha256: str, at_most: int | None = None) -> bytes | None:
        """
        Return the bytes, or None if they are not here (never sent yet, erased, or altered).

        Given `at_most`, also None if they are more: an entry may call a photo of 256 MiB a VIN.
        """

    @abstractmethod
    def put_all(self, all_data: Sequence[bytes]) -> list[str]:
        """Write small blobs, side by side, and return their SHA-256. On return they are durable."""

    @abstractmethod
    def bring(self, source: BinaryIO, sha256: str) -> bool:
        """Write what a file says, durably; False, and nothing written, if it hashes otherwise."""

    @abstractmethod
    def make_name_durable(self, sha256: str) -> None:
        """Flush the name of a blob that is here: who gave it that may have died before."""

    @abstractmethod
    def erase(self, sha256: str) -> None:
        """
        Remove the bytes, what was set aside of them, and the thumbnail. The ledger says why; this
        only carries it out, as often as asked.
        """

    @abstractmethod
    def erase_again(self, erased: Iterable[str]) -> None:
        """Erase those of all that ever were to be erased of which that was not done to the end."""

    @abstractmethod
    def lacking(self, blobs: Iterable[str]) -> list[str]:
        """Return those of many blobs that are not here."""

    @abstractmethod
    def all(self) -> Iterator[str]:
        """Yield the SHA-256 of every blob, in order."""

    @abstractmethod
    def sweep(self) -> None:
        """Remove what a killed process left under a temporary name a day ago or longer."""

    @abstractmethod
    def thumbnail(self, sha256: str) -> bytes | None:
        """Return what was kept as the thumbnail of a photo, unchecked."""

    @abstractmethod
    def keep_thumbnail(self, sha256: str, data: bytes) -> None:
        """Keep a thumbnail, unless its photo is gone: who erases removes the photo, then this."""

    @abstractmethod
    def drop_thumbnail(self, sha256: str) -> None:
        """Remove a thumbnail."""

    def read_each(self, blobs: Sequence[str], at_most: int) -> Iterator[tuple[str, bytes | None]]:
        """Read many small blobs, each as `read` does."""
        for sha256 in blobs:
            yield sha256, self.read(sha256, at_most)

    def put(self, data: bytes) -> str:
        """Write a small blob and return its SHA-256. On return it is durable."""
        return self.put_all([data])[0]

    def check(self, sha256: str) -> Found:
        """Say whether a blob is `whole`, `altered` or `missing`; what is not whole is noted."""
        try:
            self.open_whole(sha256).close()
        except BlobDamaged as error:
            return error.found
        return "whole"

    def has_whole(self, sha256: str) -> bool:
        """Say whether a blob is here and whole; one that is not here is nothing to be noted."""
        return self.has(sha256) and self.check(sha256) == "whole"

    def is_whole(self, sha256: str) -> bool:
        """Read a blob through, whatever is remembered of it, and compare its hash and its name."""
        with self.open(sha256) as file:
            return file_sha256(file) == sha256

    def noted(self, sha256: str, found: Literal["altered", "missing"]) -> BlobDamaged:
        """Note that a blob is not whole, and return what says so."""
        if self.checks is not None and self.checks.of(sha256) != found:
            self.checks.note(sha256, found)
        return BlobDamaged(sha256, found)

    def settle(self, sha256: str) -> None:
        """Note that the right bytes are here."""
        if self.checks is not None:
            self.checks.settle(sha256)


class Remembered:
    """What blobs hashed to, each for some minutes and for as long as its `identity` is the same."""

    def __init__(self) -> None:
        self._known: dict[str, tuple[Hashable, float, bool]] = {}

    def is_whole(self, sha256: str, identity: Hashable) -> bool | None:
        """Return what is remembered; None if nothing is."""
        known = self._known.get(sha256)
        if known is None or known[0] != identity:
            return None
        return known[2] if time.monotonic() - known[1] < REMEMBERED_SECONDS else None

    def note(self, sha256: str, identity: Hashable, *, is_whole: bool) -> None:
        if len(self._known) >= REMEMBERED_BLOBS:
            self._known.clear()
        self._known[sha256] = (identity, time.monotonic(), is_whole)


def require_name(sha256: str) -> str:
    """
    Return the name of a blob.

    Raises:
        ValueError: If it is not 64 lower-case hex digits; nothing else becomes a path or a key.
    """
    if not is_formed(sha256, SHA256):
        raise ValueError(t(words.NOT_SHA256, sha256=f"{sha256!r}"))
    return sha256


def side_by_side(write: Callable[[str, bytes], None], new: dict[str, bytes]) -> None:
    """Write small blobs together: a store that waits for one of them waits for the others, too."""
    if len(new) > 1:
        with ThreadPoolExecutor(WRITERS) as writers:
            list(writers.map(write, new, new.values()))
    else:
        for sha256, data in new.items():
            write(sha256, data)


def file_sha256(file: BinaryIO) -> str:
    """Return the SHA-256 of a file from where it stands to its end, piece by piece."""
    digest = hashlib.sha256()
    while piece := file.read(PIECE_BYTES):
        digest.update(piece)
    return digest.hexdigest()


def copied_sha256(source: BinaryIO, write: Callable[[bytes], object]) -> str:
    """Write all that a file says, piece by piece, and return its SHA-256."""
    digest = hashlib.sha256()
    while piece := source.read(PIECE_BYTES):
        digest.update(piece)
        write(piece)
    return digest.hexdigest()
