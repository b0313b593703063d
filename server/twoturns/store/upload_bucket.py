"""
Halves of uploads in a bucket: each piece is an object, `uploads/DEVICE/SHA.LENGTH/OFFSET`.

The offset is where the pieces that follow each other end; there is no second place that could
disagree with it. A piece passes through this machine first and is put whole, under its offset, if
nobody has put one there: of two requests at one half one is refused, whichever processes they are
in, and nothing need be locked or held between two pieces. `.../begun` says that a half has begun.

The whole is read from the bucket, hashed, put under its name and read back (`BlobBucket`); then its
pieces go, with every version.
"""

import hashlib
import time
from collections.abc import Collection
from dataclasses import dataclass, field
from typing import BinaryIO

from twoturns.ledger.forms import KEY, is_formed
from twoturns.store import files
from twoturns.store.blob_bucket import BlobBucket, all_of
from twoturns.store.blobs import require_name
from twoturns.store.bucket import Found
from twoturns.store.uploads import (
    HALVES_A_DEVICE,
    STALE_SECONDS,
    Digest,
    Pieces,
    Progress,
    Uploads,
    no_upload,
    upload_busy,
    within,
    wrong_hash,
    wrong_offset,
)
from twoturns.words import t
from twoturns.words.en.store import uploads as words

BEGUN = "begun"
#: Of one upload; each is listed with every other. A phone's are 8 KiB at least, most 2 MiB: who
#: comes to so many sends bytes to fill a list with, and begins anew.
MOST_PIECES = 5_000


@dataclass
class Half:
    """What has come of one upload: `place` ends with a slash, `pieces` follow each other from 0."""

    place: str
    pieces: list[Found] = field(default_factory=list)
    offset: int = 0
    touched: float = 0.0

    @property
    def sha256(self) -> str:
        return self.place.split("/")[2].partition(".")[0]

    @property
    def length(self) -> int:
        return int(self.place.split("/")[2].partition(".")[2])

    @property
    def progress(self) -> Progress:
        return Progress(self.offset, self.length)

    def take(self, found: Found) -> None:
        """Take in what a list tells next of it."""
        if found.modified is not None:
            self.touched = max(self.touched, found.modified.timestamp())
        if found.name == f"{self.place}{self.offset:012d}":
            self.pieces.append(found)
            self.offset += found.size


class UploadBucket(Uploads):
    """The pieces."""

    def __init__(self, blobs: BlobBucket, floor_bytes: int) -> None:
        self.blobs, self.bucket, self.floor_bytes = blobs, blobs.bucket, floor_bytes

    def free_bytes(self) -> int:
        return files.free_bytes(self.blobs.transit)

    def takes_photos(self) -> bool:
        return super().takes_photos() and not self.bucket.rests

    def progress(self, device: str, sha256: str) -> Progress | None:
        half = self._find(device, sha256)
        return None if half is None else half.progress

    def begin(self, device: str, sha256: str, length: int) -> Progress:
        halves = self._halves(_place(device))
        found = next((one for one in halves if one.sha256 == require_name(sha256)), None)
        if found is not None and found.length != length:
            self.bucket.erase(found.place)  # one of the two lengths is wrong: this leads nowhere
            found = None
        if found is not None:
            self.keep_floor_free(length - found.offset)
            return found.progress
        self.keep_floor_free(length)
        self.bucket.put(f"{_place(device)}{sha256}.{length}/{BEGUN}", b"", is_new=True)
        for old in sorted(halves, key=lambda one: one.touched)[: 1 - HALVES_A_DEVICE]:
            self.bucket.erase(old.place)
        return Progress(0, length)

    @files.full_disk_is_told
    def append(
        self, device: str, sha256: str, offset: int, pieces: Pieces, checksum: Digest = None
    ) -> Progress:
        half = self._find(device, sha256)
        if half is None:
            raise no_upload(sha256)
        if len(half.pieces) >= MOST_PIECES:
            self.bucket.erase(half.place)
            raise no_upload(sha256)
        if offset != half.offset:
            raise wrong_offset(offset, half.offset)
        self.keep_floor_free(half.length - offset)
        with self.blobs.passing() as piece:
            size = _take_in(piece, half, pieces, checksum)
            with all_of(piece) as data:
                name = f"{half.place}{offset:012d}"
                if size and not self.bucket.put(name, data, is_new=True):
                    raise upload_busy()
        return Progress(offset + size, half.length)

    @files.full_disk_is_told
    def finish(self, device: str, sha256: str) -> None:
        half = self._find(device, sha256)
        if half is None:
            if self.blobs.has_whole(sha256):
                return  # the same request, heard twice, has finished it already
            raise no_upload(sha256)
        try:
            with self.blobs.passing() as whole:
                if self._gathered(half, whole) != sha256:
                    self.bucket.erase(half.place)
                    raise wrong_hash(sha256)
                self.blobs.place_file(whole, sha256)
        except FileNotFoundError:
            raise upload_busy() from None  # the other one has finished it, or dropped it
        self.bucket.erase(half.place)

    def drop(self, device: str, sha256: str) -> None:
        half = self._find(device, sha256)
        if half is not None:
            self.bucket.erase(half.place)

    def forget(self, blobs: Collection[str]) -> None:
        gone = set(blobs)
        for half in self._halves("uploads/") if gone else ():
            if half.sha256 in gone:
                self.bucket.erase(half.place)

    def sweep(self) -> None:
        for half in self._halves("uploads/"):
            if time.time() - half.touched > STALE_SECONDS:
                self.bucket.erase(half.place)

    def _gathered(self, half: Half, whole: BinaryIO) -> str:
        digest = hashlib.sha256()
        for piece in half.pieces:
            for part in self.bucket.parts(piece):
                digest.update(part)
                whole.write(part)
        return digest.hexdigest()

    def _find(self, device: str, sha256: str) -> Half | None:
        return next(iter(self._halves(f"{_place(device)}{require_name(sha256)}.")), None)

    def _halves(self, prefix: str) -> list[Half]:
        halves: dict[str, Half] = {}
        for found in self.bucket.below(prefix):
            place = found.name[: found.name.rindex("/") + 1]
            halves.setdefault(place, Half(place)).take(found)
        return list(halves.values())


def _place(device: str) -> str:
    if not is_formed(device, KEY):
        raise ValueError(t(words.NOT_THUMBPRINT, device=f"{device!r}"))
    return f"uploads/{device}/"


def _take_in(piece: BinaryIO, half: Half, pieces: Pieces, checksum: Digest) -> int:
    """Write what arrives into a file, and return its size. Anything refused is kept nowhere."""
    size = 0
    for data in within(half.progress, pieces, checksum):
        piece.write(data)
        size += len(data)
    return size
