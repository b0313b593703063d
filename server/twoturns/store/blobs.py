"""
The blob store: bytes under their SHA-256, in `blobs/ab/SHA`. One of the two truths.

A blob is first written under a temporary name on the same disk, synced, and only then given
its name; so a file that has its name is whole. Whether the workshop has *kept* a blob is not
asked here: that is a signed `blob.kept` in the ledger, written after this.
"""

import hashlib
import os
import re
import secrets
import time
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from twoturns.store import files

SHA256 = re.compile(r"[0-9a-f]{64}")
PIECE_BYTES = 1 << 20
STALE_SECONDS = 86_400


class Blobs:
    """A folder of blobs."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.temporary = folder / "new"

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
        if not SHA256.fullmatch(sha256):
            raise ValueError(f"not a sha256: {sha256!r}")
        return self.folder.joinpath(sha256[:2], sha256)

    def has(self, sha256: str) -> bool:
        return self.path(sha256).is_file()

    def size(self, sha256: str) -> int:
        """Return the size in bytes. Raises FileNotFoundError if it is not here."""
        return self.path(sha256).stat().st_size

    def open(self, sha256: str) -> BinaryIO:
        """Open for reading. Raises FileNotFoundError if it is not here."""
        return self.path(sha256).open("rb")

    def read(self, sha256: str, at_most: int | None = None) -> bytes | None:
        """
        Return the bytes, or None if they are not here (never sent yet, or erased).

        Given `at_most`, also None if they are more: an entry may call a photo of 256 MiB a VIN.
        """
        try:
            with self.open(sha256) as file:
                data = file.read(-1 if at_most is None else at_most + 1)
        except FileNotFoundError:
            return None
        return None if at_most is not None and len(data) > at_most else data

    @files.full_disk_is_told
    def put(self, data: bytes) -> str:
        """Write a small blob and return its SHA-256. On return it is on the disk."""
        sha256 = hashlib.sha256(data).hexdigest()
        if self.has(sha256):
            # The one who wrote it may have been killed before its name was durable.
            files.sync_folder(self.path(sha256).parent)
            return sha256
        temporary = self.temporary / secrets.token_hex(16)
        files.write_new(temporary, data)
        self.adopt(temporary, sha256)
        return sha256

    def adopt(self, temporary: Path, sha256: str) -> None:
        """Give a synced file of this disk, whose hash was checked, its place among the blobs."""
        try:
            files.move_into_place(temporary, self.path(sha256))
        except BaseException:
            temporary.unlink(missing_ok=True)
            raise

    @files.full_disk_is_told
    def erase(self, sha256: str) -> None:
        """Remove the bytes. The ledger says why; this only carries it out, as often as asked."""
        path = self.path(sha256)
        path.unlink(missing_ok=True)
        files.sync_folder(path.parent)

    def all(self) -> Iterator[str]:
        """Yield the SHA-256 of every blob, in order."""
        for part in sorted(self.folder.iterdir()):
            if part != self.temporary:
                yield from sorted(os.listdir(part))

    def is_whole(self, sha256: str) -> bool:
        """Read a blob through and compare its hash with its name."""
        with self.open(sha256) as file:
            return file_sha256(file) == sha256

    def sweep(self) -> None:
        """Remove what a killed process left under a temporary name a day ago or longer."""
        for path in self.temporary.iterdir():
            if time.time() - path.stat().st_mtime > STALE_SECONDS:
                path.unlink(missing_ok=True)


def file_sha256(file: BinaryIO) -> str:
    """Return the SHA-256 of a file from where it stands to its end, piece by piece."""
    digest = hashlib.sha256()
    while piece := file.read(PIECE_BYTES):
        digest.update(piece)
    return digest.hexdigest()
