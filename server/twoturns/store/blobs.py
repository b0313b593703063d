"""
The blob store: bytes under their SHA-256, in `blobs/ab/SHA`. One of the two truths.

A blob is first written under a temporary name on the same disk, synced, and only then given
its name; so a file that gets its name is whole. Whether the workshop has *kept* a blob is not
asked here: that is a signed `blob.kept` in the ledger, written after this.

A file may be changed later, by somebody or by the disk. So nothing leaves before it was read
through: `read` and `open_whole` hash first. What a file hashed to is remembered for some minutes
for as long as it is the very same file (inode, size, times of change): a phone asks for a photo in
parts, and a page for dozens. One that differs is never removed and never written over: it is
evidence, too, and is set aside as `damaged/SHA.altered-N` when the right bytes come.
"""

import hashlib
import os
import secrets
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import count
from pathlib import Path
from typing import BinaryIO, Literal

from twoturns.ledger.forms import SHA256, is_formed
from twoturns.store import files
from twoturns.store.blob_checks import Checks, Found
from twoturns.store.errors import BlobDamaged
from twoturns.words import t
from twoturns.words.en.store import blobs as words

PIECE_BYTES = 1 << 20
WRITERS = 8
STALE_SECONDS = 86_400
REMEMBERED_SECONDS = 600  # a disk that fails under an unchanged file is heard of after that
REMEMBERED_BLOBS = 20_000


class Blobs:
    """
    A folder of blobs. `checks` hears of each that is not whole; without it (the folder of a backup)
    nobody does.
    """

    def __init__(self, folder: Path, checks: Checks | None = None) -> None:
        self.folder = folder
        self.temporary = folder / "new"
        self.damaged = folder.parent / "damaged"
        self.thumbnails = folder.parent / "thumbnails"
        self._checks = checks
        self._known: dict[str, tuple[files.Identity, float, bool]] = {}

    @classmethod
    def create(cls, folder: Path) -> "Blobs":
        """Make the folder with all its 256 parts, or those that a killed process left out."""
        blobs = cls(folder)
        folder.mkdir(exist_ok=True)
        blobs.temporary.mkdir(exist_ok=True)
        for part in range(256):
            (folder / f"{part:02x}").mkdir(exist_ok=True)
        files.sync_folder(folder)
        return blobs

    def path(self, sha256: str) -> Path:
        """
        Return where a blob has its place.

        Raises:
            ValueError: If the name is not 64 lower-case hex digits; nothing else becomes a path.
        """
        if not is_formed(sha256, SHA256):
            raise ValueError(t(words.NOT_SHA256, sha256=f"{sha256!r}"))
        return self.folder.joinpath(sha256[:2], sha256)

    def has(self, sha256: str) -> bool:
        return self.path(sha256).is_file()

    def size(self, sha256: str) -> int:
        """Return the size in bytes. Raises FileNotFoundError if it is not here."""
        return self.path(sha256).stat().st_size

    def open(self, sha256: str) -> BinaryIO:
        """Open for reading, unchecked. Raises FileNotFoundError if it is not here."""
        return self.path(sha256).open("rb")

    def open_whole(self, sha256: str) -> BinaryIO:
        """
        Open for reading, once all of it was found to hash to its name.

        Raises:
            BlobDamaged: If it does not, or if it is not here.
        """
        try:
            file = self.open(sha256)
        except FileNotFoundError:
            raise self._noted(sha256, "missing") from None
        try:
            if not self._is_its_own(sha256, file):
                raise self._noted(sha256, "altered")
            file.seek(0)
        except BaseException:
            file.close()
            raise
        return file

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

    def make_name_durable(self, sha256: str) -> None:
        """Flush the folder of a blob that is here: who gave it its name may have died before."""
        files.sync_folder(self.path(sha256).parent)

    def read(self, sha256: str, at_most: int | None = None) -> bytes | None:
        """
        Return the bytes, or None if they are not here (never sent yet, erased, or altered).

        Given `at_most`, also None if they are more: an entry may call a photo of 256 MiB a VIN.
        """
        try:
            with self.open(sha256) as file:
                data = file.read(-1 if at_most is None else at_most + 1)
        except FileNotFoundError:
            return None
        if at_most is not None and len(data) > at_most:
            return None
        if hashlib.sha256(data).hexdigest() != sha256:
            self._noted(sha256, "altered")
            return None
        return data

    def put(self, data: bytes) -> str:
        """Write a small blob and return its SHA-256. On return it is on the disk."""
        return self.put_all([data])[0]

    @files.full_disk_is_told
    def put_all(self, all_data: Sequence[bytes]) -> list[str]:
        """
        Write small blobs and return their SHA-256. On return they are on the disk.

        Side by side: each waits for the disk twice, and a disk that flushes for one of them flushes
        for the others, too.
        """
        hashed = {hashlib.sha256(data).hexdigest(): data for data in all_data}
        new = {sha256: data for sha256, data in hashed.items() if self.read(sha256) is None}
        for sha256 in hashed.keys() - new.keys():
            self.make_name_durable(sha256)
        if len(new) > 1:
            with ThreadPoolExecutor(WRITERS) as writers:
                list(writers.map(self._write, new, new.values()))
        else:
            for sha256, data in new.items():
                self._write(sha256, data)
        for sha256 in new:
            self._settle(sha256)
        return [hashlib.sha256(data).hexdigest() for data in all_data]

    def _write(self, sha256: str, data: bytes) -> None:
        temporary = self.temporary / secrets.token_hex(16)
        files.write_new(temporary, data)
        try:
            self._place(temporary, sha256)
        except BaseException:
            temporary.unlink(missing_ok=True)
            raise

    def adopt(self, temporary: Path, sha256: str) -> None:
        """Give a synced file of this disk, whose hash was checked, its place among the blobs."""
        try:
            self.take(temporary, sha256)
        except BaseException:
            temporary.unlink(missing_ok=True)
            raise

    def take(self, fresh: Path, sha256: str) -> None:
        """
        As `adopt`, but on a failure the fresh file stays where it was.

        A file of other bytes under that name is set aside first, by a second name: so at no moment
        is the place empty, and at none is the evidence of the damage without a name.
        """
        self._place(fresh, sha256)
        self._settle(sha256)

    def _place(self, fresh: Path, sha256: str) -> None:
        self._set_aside(sha256)
        files.move_into_place(fresh, self.path(sha256))

    def _settle(self, sha256: str) -> None:
        if self._checks is not None:
            self._checks.settle(sha256)

    @files.full_disk_is_told
    def erase(self, sha256: str) -> None:
        """
        Remove the bytes, what was set aside of them, and the thumbnail. The ledger says why; this
        only carries it out, as often as asked.
        """
        path = self.path(sha256)
        path.unlink(missing_ok=True)
        files.sync_folder(path.parent)
        small = self.thumbnail(sha256)  # also under the name that it has while it is written
        for derived in (*self.set_aside(sha256), *small.parent.glob(f"{small.name}*")):
            derived.unlink(missing_ok=True)
        if self._checks is not None:
            self._checks.forget(sha256)

    def thumbnail(self, sha256: str) -> Path:
        """Return where the thumbnail of a photo has its place."""
        return self.thumbnails.joinpath(sha256[:2], self.path(sha256).name)

    def set_aside(self, sha256: str) -> list[Path]:
        """Return the files of other bytes that once lay under this name."""
        return sorted(self.damaged.glob(f"{sha256}.altered-*"))

    def all(self) -> Iterator[str]:
        """Yield the SHA-256 of every blob, in order."""
        for part in sorted(self.folder.iterdir()):
            if part != self.temporary:
                yield from sorted(os.listdir(part))  # noqa: PTH208 - names alone, of all photos

    def is_whole(self, sha256: str) -> bool:
        """Read a blob through, whatever is remembered of it, and compare its hash and its name."""
        with self.open(sha256) as file:
            return file_sha256(file) == sha256

    def sweep(self) -> None:
        """Remove what a killed process left under a temporary name a day ago or longer."""
        for path in self.temporary.iterdir():
            if time.time() - path.stat().st_mtime > STALE_SECONDS:
                path.unlink(missing_ok=True)

    def _is_its_own(self, sha256: str, file: BinaryIO) -> bool:
        """Say whether an open file hashes to the name, from memory if it is still the same file."""
        identity = files.identity(file.fileno())
        known = self._known.get(sha256)
        now = time.monotonic()
        if known is not None and known[0] == identity and now - known[1] < REMEMBERED_SECONDS:
            return known[2]
        is_whole = file_sha256(file) == sha256
        if files.identity(file.fileno()) == identity:  # not written to while it was read
            if len(self._known) >= REMEMBERED_BLOBS:
                self._known.clear()
            self._known[sha256] = (identity, now, is_whole)
        return is_whole

    def _noted(self, sha256: str, found: Literal["altered", "missing"]) -> BlobDamaged:
        if self._checks is not None and self._checks.of(sha256) != found:
            self._checks.note(sha256, found)
        return BlobDamaged(sha256, found)

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


def file_sha256(file: BinaryIO) -> str:
    """Return the SHA-256 of a file from where it stands to its end, piece by piece."""
    digest = hashlib.sha256()
    while piece := file.read(PIECE_BYTES):
        digest.update(piece)
    return digest.hexdigest()
