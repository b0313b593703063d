"""
Blobs in a folder of this machine, `blobs/ab/SHA`: what a workshop has that is told of nothing else.

A blob is first written under a temporary name on the same disk, synced, and only then given
its name; so a file that gets its name is whole.

What a file hashed to is remembered for as long as it is the very same file (inode, size, times of
change). One that differs is set aside as `damaged/SHA.altered-N` when the right bytes come.
"""

import hashlib
import os
import secrets
import time
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from itertools import count
from pathlib import Path
from typing import BinaryIO

from twoturns.store import files
from twoturns.store.blob_checks import Checks
from twoturns.store.blobs import (
    Blobs,
    Remembered,
    copied_sha256,
    file_sha256,
    require_name,
    side_by_side,
)

STALE_SECONDS = 86_400


class BlobFolder(Blobs):
    """A folder of blobs: a workshop's, or that of a backup, of which nobody keeps `checks`."""

    place = ""

    def __init__(self, folder: Path, checks: Checks | None = None) -> None:
        self.folder = folder
        self.temporary = folder / "new"
        self.damaged = folder.parent / "damaged"
        self.thumbnails = folder.parent / "thumbnails"
        self.checks = checks
        self._remembered = Remembered()

    @classmethod
    def create(cls, folder: Path) -> "BlobFolder":
        """Make the folder with all its 256 parts, or those that a killed process left out."""
        blobs = cls(folder)
        folder.mkdir(exist_ok=True)
        blobs.temporary.mkdir(exist_ok=True)
        for part in range(256):
            (folder / f"{part:02x}").mkdir(exist_ok=True)
        files.sync_folder(folder)
        return blobs

    def path(self, sha256: str) -> Path:
        """Return where a blob has its place. Raises ValueError if that is no name."""
        return self.folder.joinpath(require_name(sha256)[:2], sha256)

    def has(self, sha256: str) -> bool:
        return self.path(sha256).is_file()

    def size(self, sha256: str) -> int:
        return self.path(sha256).stat().st_size

    def open(self, sha256: str) -> BinaryIO:
        return self.path(sha256).open("rb")

    def open_whole(self, sha256: str) -> BinaryIO:
        try:
            file = self.open(sha256)
        except FileNotFoundError:
            raise self.noted(sha256, "missing") from None
        try:
            if not self._is_its_own(sha256, file):
                raise self.noted(sha256, "altered")
            file.seek(0)
        except BaseException:
            file.close()
            raise
        return file

    def make_name_durable(self, sha256: str) -> None:
        files.sync_folder(self.path(sha256).parent)

    def read(self, sha256: str, at_most: int | None = None) -> bytes | None:
        try:
            with self.open(sha256) as file:
                data = file.read() if at_most is None else files.read_at_most(file, at_most + 1)
        except FileNotFoundError:
            return None
        if at_most is not None and len(data) > at_most:
            return None
        if hashlib.sha256(data).hexdigest() != sha256:
            self.noted(sha256, "altered")
            return None
        return data

    @files.full_disk_is_told
    def put_all(self, all_data: Sequence[bytes]) -> list[str]:
        hashed = {hashlib.sha256(data).hexdigest(): data for data in all_data}
        new = {sha256: data for sha256, data in hashed.items() if self.read(sha256) is None}
        for sha256 in hashed.keys() - new.keys():
            self.make_name_durable(sha256)
        side_by_side(self._write, new)
        for sha256 in new:
            self.settle(sha256)
        return [hashlib.sha256(data).hexdigest() for data in all_data]

    def _write(self, sha256: str, data: bytes) -> None:
        temporary = self.temporary / secrets.token_hex(16)
        files.write_new(temporary, data)
        try:
            self._place(temporary, sha256)
        except BaseException:
            temporary.unlink(missing_ok=True)
            raise

    @files.full_disk_is_told
    def bring(self, source: BinaryIO, sha256: str) -> bool:
        fresh = self.temporary / secrets.token_hex(16)
        try:
            with fresh.open("xb") as copy:
                hashed = copied_sha256(source, partial(files.write_all, copy.fileno()))
                os.fsync(copy.fileno())
            files.forget_cached(fresh)
            if hashed != sha256 or _hashed(fresh) != sha256:
                return False
            self.take(fresh, sha256)
        finally:
            fresh.unlink(missing_ok=True)
        return True

    def take(self, fresh: Path, sha256: str) -> None:
        """
        Give a synced file of this disk, whose hash was checked, its place among the blobs. On a
        failure it stays where it was.

        A file of other bytes under that name is set aside first, by a second name: so at no moment
        is the place empty, and at none is the evidence of the damage without a name.
        """
        self._place(fresh, sha256)
        self.settle(sha256)

    def _place(self, fresh: Path, sha256: str) -> None:
        self._set_aside(sha256)
        files.move_into_place(fresh, self.path(sha256))

    @files.full_disk_is_told
    def erase(self, sha256: str) -> None:
        path = self.path(sha256)
        path.unlink(missing_ok=True)
        files.sync_folder(path.parent)
        small = self.thumbnail_path(sha256)  # also under the name that it has while it is written
        for derived in (*self.set_aside(sha256), *small.parent.glob(f"{small.name}*")):
            derived.unlink(missing_ok=True)
        if self.checks is not None:
            self.checks.forget(sha256)

    def erase_again(self, erased: Iterable[str]) -> None:
        for sha256 in erased:
            self.erase(sha256)

    def lacking(self, blobs: Iterable[str]) -> list[str]:
        return [sha256 for sha256 in blobs if not self.has(sha256)]

    def thumbnail(self, sha256: str) -> bytes | None:
        try:
            return self.thumbnail_path(sha256).read_bytes()
        except FileNotFoundError:
            return None

    def keep_thumbnail(self, sha256: str, data: bytes) -> None:
        path = self.thumbnail_path(sha256)
        path.parent.mkdir(parents=True, exist_ok=True)
        fresh = path.with_name(f"{path.name}.{secrets.token_hex(8)}")
        files.write_new(fresh, data)
        files.move_into_place(fresh, path)
        if not self.has(sha256):
            self.drop_thumbnail(sha256)  # erased while it was made

    def drop_thumbnail(self, sha256: str) -> None:
        self.thumbnail_path(sha256).unlink(missing_ok=True)

    def thumbnail_path(self, sha256: str) -> Path:
        """Return where the thumbnail of a photo has its place."""
        return self.thumbnails.joinpath(sha256[:2], self.path(sha256).name)

    def set_aside(self, sha256: str) -> list[Path]:
        """Return the files of other bytes that once lay under this name."""
        return sorted(self.damaged.glob(f"{sha256}.altered-*"))

    def all(self) -> Iterator[str]:
        for part in sorted(self.folder.iterdir()):
            if part != self.temporary:
                yield from sorted(os.listdir(part))  # noqa: PTH208 - names alone, of all photos

    def sweep(self) -> None:
        for path in self.temporary.iterdir():
            if time.time() - path.stat().st_mtime > STALE_SECONDS:
                path.unlink(missing_ok=True)

    def _is_its_own(self, sha256: str, file: BinaryIO) -> bool:
        """Say whether an open file hashes to the name, from memory if it is still the same file."""
        identity = files.identity(file.fileno())
        known = self._remembered.is_whole(sha256, identity)
        if known is not None:
            return known
        is_whole = file_sha256(file) == sha256
        if files.identity(file.fileno()) == identity:  # not written to while it was read
            self._remembered.note(sha256, identity, is_whole=is_whole)
        return is_whole

    def _set_aside(self, sha256: str) -> None:
        """Give a file that is not what its name says a second name, which says so."""
        path = self.path(sha256)
        if not path.is_file() or self.is_whole(sha256):
            return
        if any(path.samefile(aside) for aside in self.set_aside(sha256)):
            return  # by one who was killed before the right bytes were in place
        self.damaged.mkdir(exist_ok=True)
        for number in count(1):
            try:
                os.link(path, self.damaged / f"{sha256}.altered-{number}")
            except FileExistsError:
                continue
            break
        files.sync_folder(self.damaged)


def _hashed(path: Path) -> str:
    with path.open("rb") as file:
        return file_sha256(file)
