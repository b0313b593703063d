"""
Blobs in a bucket of an S3-compatible object store (`bucket.py`).

    blobs/ab/SHA             photos, private values, bundles
    damaged/SHA.altered-N    other bytes that once lay under the name; N is of their hash
    thumbnails/ab/SHA        small copies of photos
    erased/SHA               nothing: the erasure of SHA was carried out to its end
    uploads/                 halves (`upload_bucket.py`)
    workshop                 whose photos these are

Bytes are hashed whole before the put, which takes a name only if nobody has it, and read back after
it. A read asks by `If-Match` for the very object that was found and hashed: what that hashed to is
remembered as long as its tag, size and time are the same. No address of the store leaves this room.
"""

import hashlib
import io
import mmap
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from itertools import repeat
from pathlib import Path
from tempfile import SpooledTemporaryFile
from typing import BinaryIO, cast

from twoturns.store import files
from twoturns.store.blob_checks import Checks
from twoturns.store.blobs import (
    WRITERS,
    Blobs,
    Remembered,
    copied_sha256,
    require_name,
    side_by_side,
)
from twoturns.store.bucket import Bucket, Found, ObjectFile

IN_MEMORY_BYTES = 8 << 20  # a photo; what is larger passes through a file without a name
AHEAD_BYTES = 256 << 10
SMALL_BYTES = 64 << 10  # read in one question, not found first


class BlobBucket(Blobs):
    """The blobs of one workshop. `transit`: a folder on a disk that has room for one of them."""

    def __init__(self, bucket: Bucket, transit: Path, checks: Checks | None = None) -> None:
        self.bucket, self.transit, self.checks = bucket, transit, checks
        self.place = bucket.at.where
        self._remembered = Remembered()

    def has(self, sha256: str) -> bool:
        return self.bucket.find(_name(sha256)) is not None

    def size(self, sha256: str) -> int:
        return self._found(sha256).size

    def open(self, sha256: str) -> BinaryIO:
        return self._opened(self._found(sha256))

    def open_whole(self, sha256: str) -> BinaryIO:
        try:
            found = self._found(sha256)
            known = self._remembered.is_whole(sha256, found)
            file = self._opened(found) if known is not None else self._fetched(sha256, found)
        except FileNotFoundError:
            raise self.noted(sha256, "missing") from None
        if known is False or file is None:
            raise self.noted(sha256, "altered")
        return file

    def _fetched(self, sha256: str, found: Found) -> BinaryIO | None:
        """Return a copy of an object, if it hashes to the name; what was read need not be again."""
        copy = self.passing()
        try:
            is_whole = self._hashed(found, copy) == sha256
            self._remembered.note(sha256, found, is_whole=is_whole)
        except BaseException:
            copy.close()
            raise
        if not is_whole:
            copy.close()
            return None
        copy.seek(0)
        return copy

    def is_whole(self, sha256: str) -> bool:
        found = self._found(sha256)
        is_whole = self._hashed(found) == sha256
        self._remembered.note(sha256, found, is_whole=is_whole)
        return is_whole

    def read(self, sha256: str, at_most: int | None = None) -> bytes | None:
        data = self._read_found(sha256, at_most)
        if data is None:
            return None
        if hashlib.sha256(data).hexdigest() != sha256:
            self.noted(sha256, "altered")
            return None
        return data

    def read_each(self, blobs: Sequence[str], at_most: int) -> Iterator[tuple[str, bytes | None]]:
        if len(blobs) < 2:
            yield from super().read_each(blobs, at_most)
            return
        with ThreadPoolExecutor(WRITERS) as readers:
            yield from zip(blobs, readers.map(self.read, blobs, repeat(at_most)), strict=False)

    def _read_found(self, sha256: str, at_most: int | None) -> bytes | None:
        try:
            found = self._found(sha256)
            is_wanted = at_most is None or found.size <= at_most
            return b"".join(self.bucket.parts(found)) if is_wanted else None
        except FileNotFoundError:
            return None

    def put_all(self, all_data: Sequence[bytes]) -> list[str]:
        hashed = {hashlib.sha256(data).hexdigest(): data for data in all_data}
        side_by_side(self._place, hashed)
        return [hashlib.sha256(data).hexdigest() for data in all_data]

    @files.full_disk_is_told
    def bring(self, source: BinaryIO, sha256: str) -> bool:
        with self.passing() as copy:
            if copied_sha256(source, copy.write) != sha256:
                return False
            self.place_file(copy, sha256)
        return True

    def place_file(self, file: BinaryIO, sha256: str) -> None:
        """Give what a file of `passing` says, whose hash was checked, its name; read it back."""
        with all_of(file) as data:
            self._place(sha256, data)

    def passing(self) -> BinaryIO:
        """Return an empty file for bytes on their way: in memory, or without a name."""
        return cast("BinaryIO", SpooledTemporaryFile(IN_MEMORY_BYTES, dir=str(self.transit)))

    def make_name_durable(self, sha256: str) -> None:
        """Nothing is left to do: who puts an object hears of it when the store has its copies."""

    def erase(self, sha256: str) -> None:
        name = _name(sha256)
        for prefix in (name, f"damaged/{sha256}.", _thumbnail(sha256)):
            self.bucket.erase(prefix)
        if self.checks is not None:
            self.checks.forget(sha256)
        self.bucket.put(_erased(sha256), b"", is_new=True)

    def erase_again(self, erased: Iterable[str]) -> None:
        wanted = set(erased)
        if not wanted:
            return
        done = {found.name for found in self.bucket.below(_erased(""))}
        left = [sha256 for sha256 in wanted if _erased(sha256) not in done]
        with ThreadPoolExecutor(WRITERS) as workers:
            list(workers.map(self.erase, left))

    def lacking(self, blobs: Iterable[str]) -> list[str]:
        there = set(self.all())
        return [sha256 for sha256 in blobs if sha256 not in there]

    def all(self) -> Iterator[str]:
        for found in self.bucket.below("blobs/"):
            yield found.name.rpartition("/")[2]

    def sweep(self) -> None:
        """Nothing is left behind: what is on its way has no name."""

    def thumbnail(self, sha256: str) -> bytes | None:
        found = self.bucket.find(_thumbnail(sha256))
        try:
            return None if found is None else b"".join(self.bucket.parts(found))
        except FileNotFoundError:
            return None  # made anew, or erased, in between

    def keep_thumbnail(self, sha256: str, data: bytes) -> None:
        self.bucket.put(_thumbnail(sha256), data)
        if not self.has(sha256):
            self.drop_thumbnail(sha256)  # erased while it was made

    def drop_thumbnail(self, sha256: str) -> None:
        self.bucket.erase(_thumbnail(sha256))

    def set_aside(self, sha256: str) -> list[bytes]:
        """Return the other bytes that once lay under this name."""
        names = self.bucket.below(f"damaged/{sha256}.")
        return [b"".join(self.bucket.parts(found)) for found in names]

    def _found(self, sha256: str) -> Found:
        found = self.bucket.find(_name(sha256))
        if found is None:
            raise FileNotFoundError(sha256)
        return found

    def _opened(self, found: Found) -> BinaryIO:
        return io.BufferedReader(ObjectFile(self.bucket, found), AHEAD_BYTES)

    def _hashed(self, found: Found, copy: BinaryIO | None = None) -> str:
        digest = hashlib.sha256()
        for part in self.bucket.parts(found):
            digest.update(part)
            if copy is not None:
                copy.write(part)
        return digest.hexdigest()

    def _place(self, sha256: str, data: bytes | memoryview) -> None:
        """
        Put bytes that hash to the name, and read them back.

        Other bytes under the name are set aside first, by a second name: so at no moment is the
        place empty, and at none is the evidence of the damage without a name.
        """
        is_new = self.bucket.put(_name(sha256), data, is_new=True)
        if not is_new and not self._reads_back(sha256):
            self._set_aside(sha256)
            is_new = self.bucket.put(_name(sha256), data)
        if is_new and not self._is_as_put(sha256, data):
            raise self.noted(sha256, "altered")
        self.settle(sha256)

    def _is_as_put(self, sha256: str, data: bytes | memoryview) -> bool:
        if len(data) > SMALL_BYTES:
            return self._reads_back(sha256)
        return self.bucket.fetch(_name(sha256)) == data

    def _reads_back(self, sha256: str) -> bool:
        try:
            return self.is_whole(sha256)
        except FileNotFoundError:
            return False  # erased in between

    def _set_aside(self, sha256: str) -> None:
        found = self.bucket.find(_name(sha256))
        if found is None:
            return
        with self.passing() as copy:
            number = self._hashed(found, copy)[:16]
            with all_of(copy) as data:
                self.bucket.put(f"damaged/{sha256}.altered-{number}", data, is_new=True)


@contextmanager
def all_of(file: BinaryIO) -> Iterator[bytes | memoryview]:
    """Give what a file of `passing` says, without bringing into memory what is not there."""
    size = file.seek(0, io.SEEK_END)
    file.seek(0)
    if size <= IN_MEMORY_BYTES:
        yield file.read()
        return
    with (
        mmap.mmap(file.fileno(), size, access=mmap.ACCESS_READ) as mapped,
        memoryview(mapped) as view,
    ):
        yield view


def _name(sha256: str) -> str:
    return f"blobs/{require_name(sha256)[:2]}/{sha256}"


def _thumbnail(sha256: str) -> str:
    return f"thumbnails/{require_name(sha256)[:2]}/{sha256}"


def _erased(sha256: str) -> str:
    return f"erased/{sha256}"
