"""
Uploads in progress: what each device has sent so far of each blob, the halves.

They lie where the blobs lie (`upload_folder.py`, `upload_bucket.py`), and nothing of them is in a
process: whichever process hears the next piece goes on. Each device has halves of its own, so two
phones with one photo cannot write into each other's. Two requests of one device that meet at one
half (the one before may still be dying on a dead line) never mix: one of them is refused.

A piece whose offset is told has come in, and is not kept yet: after a power cut the offset may be
a lower one, and the phone goes on from there. The whole is checked once, when its last piece is
here, against what the store gives back: only then it gets its name, and only then the workshop says
that it is kept. No phone frees a photo on less.
"""

import hashlib
import hmac
from abc import abstractmethod
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import Protocol

from twoturns.store.errors import UploadRefused, WorkshopFull
from twoturns.words import t
from twoturns.words.en.store import uploads as words

MAX_BYTES = 256 * 2**20
HALVES_A_DEVICE = 8  # a phone sends one photo after the other; no device fills the disk with halves
STALE_SECONDS = 30 * 86_400


@dataclass(frozen=True)
class Checksum:
    """What one piece must hash to: `algorithm` is `sha1` or `sha256`."""

    algorithm: str
    digest: bytes

    def require(self, found: bytes) -> None:
        """Refuse a piece whose digest is another one: `wrong-checksum`."""
        if not hmac.compare_digest(found, self.digest):
            raise UploadRefused(
                t(words.WRONG_CHECKSUM, algorithm=self.algorithm),
                code="wrong-checksum",
                hint=t(words.WRONG_CHECKSUM_HINT),
            )


Pieces = Iterable[bytes]  # as they come in
Digest = Checksum | None


@dataclass(frozen=True)
class Progress:
    """How far an upload has come."""

    offset: int
    length: int

    @property
    def is_complete(self) -> bool:
        return self.offset == self.length


class Uploads(Protocol):
    """The halves. `floor_bytes` of the workshop's disk stay free for entries, which are small."""

    floor_bytes: int

    @abstractmethod
    def free_bytes(self) -> int:
        """Return the bytes still free on the disk that uploads fill, or pass through."""

    def takes_photos(self) -> bool:
        """Say, without asking anybody, whether there is room for one more."""
        return self.free_bytes() > self.floor_bytes

    def keep_floor_free(self, wanted_bytes: int) -> None:
        """Refuse what would take the disk below the floor: `WorkshopFull`."""
        free = self.free_bytes()
        if free - wanted_bytes < self.floor_bytes:
            raise WorkshopFull(free)

    @abstractmethod
    def progress(self, device: str, sha256: str) -> Progress | None:
        """Return how far this device's upload has come, or None if it has not begun."""

    @abstractmethod
    def begin(self, device: str, sha256: str, length: int) -> Progress:
        """
        Begin an upload, or go on with the one of the same length.

        Raises:
            UploadRefused: `upload-busy`, if a half of another length is being written.
            WorkshopFull: If the rest of it would take the disk below the floor.
        """

    @abstractmethod
    def append(
        self, device: str, sha256: str, offset: int, pieces: Pieces, checksum: Digest = None
    ) -> Progress:
        """
        Write what arrives at the offset, and return the new progress. It is not kept by that.

        What arrived before the line broke is kept, unless a checksum was promised for the whole
        piece: then it is all or nothing.

        Raises:
            UploadRefused: `no-upload`, `upload-busy`, `wrong-offset`, `upload-too-long`,
                `wrong-checksum`.
            WorkshopFull: If the disk is at its floor.
        """

    @abstractmethod
    def finish(self, device: str, sha256: str) -> None:
        """
        Make the whole durable, check what the store gives back against its name, and put it among
        the blobs.

        Raises:
            UploadRefused: `wrong-hash`; the half is removed, because no byte of it can be trusted.
                `no-upload` or `upload-busy`, if another request of the device has it.
        """

    @abstractmethod
    def drop(self, device: str, sha256: str) -> None:
        """Forget an upload in progress, unless another request is writing it."""

    @abstractmethod
    def forget(self, blobs: Collection[str]) -> None:
        """Remove what any device has sent of blobs that were erased."""

    @abstractmethod
    def sweep(self) -> None:
        """Remove halves that nobody went on with for 30 days: the phone begins anew."""


def within(before: Progress, pieces: Pieces, checksum: Digest) -> Iterator[bytes]:
    """
    Yield what arrives at an offset, to be written piece by piece.

    Raises:
        UploadRefused: `upload-too-long`, before a piece that goes beyond the length;
            `wrong-checksum`, after the last.
    """
    digest = hashlib.new(checksum.algorithm, usedforsecurity=False) if checksum else None
    offset = before.offset
    for piece in pieces:
        offset += len(piece)
        if offset > before.length:
            raise too_long(before.length)
        if digest is not None:
            digest.update(piece)
        yield piece
    if digest is not None and checksum is not None:
        checksum.require(digest.digest())


# Refusals that both say alike.


def no_upload(sha256: str) -> UploadRefused:
    return UploadRefused(
        t(words.NO_UPLOAD_BEGUN, sha256=sha256[:12]),
        code="no-upload",
        hint="Begin the upload again; nothing of it is lost on the phone.",
    )


def wrong_offset(offset: int, stands: int) -> UploadRefused:
    return UploadRefused(
        t(words.WRONG_OFFSET, offset=offset, stands=stands),
        code="wrong-offset",
        hint=t(words.WRONG_OFFSET_HINT),
    )


def too_long(length: int) -> UploadRefused:
    return UploadRefused(
        t(words.TOO_MANY_BYTES, length=length),
        code="upload-too-long",
        hint="Begin the upload again with its true length.",
    )


def wrong_hash(sha256: str) -> UploadRefused:
    return UploadRefused(
        t(words.WRONG_HASH, sha256=sha256[:12]),
        code="wrong-hash",
        hint=t(words.WRONG_HASH_HINT),
    )


def upload_busy() -> UploadRefused:
    return UploadRefused(t(words.UPLOAD_BUSY), code="upload-busy", hint=t(words.UPLOAD_BUSY_HINT))
