"""
Drafts on the disk: `drafts/NAME.zip`, whole or not there, each with a version.

Working files, no evidence: no record names them; a backup has them beside its ledgers. The version
is the hash of the file, so whoever writes says which one he has read, and nobody writes over
another's work unseen.
"""

import hashlib
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from twoturns.store import files
from twoturns.store.draft import DRAFT, Draft, packed, unpacked
from twoturns.store.errors import DraftRefused, WorkshopFull
from twoturns.words import t
from twoturns.words.en.store import drafts as words

FOLDER = "drafts"
FRESH = ".new"
MOST_DRAFTS = 100
#: As the version that is expected: there is no such draft yet.
NEW = None


@dataclass(frozen=True)
class Kept:
    """A draft as it lies on the disk."""

    draft: Draft
    version: str


@dataclass(frozen=True)
class Row:
    """A draft in the list of them."""

    name: str
    bytes: int
    changed: datetime


class Drafts:
    """The drafts of a workshop. All processes may read and write them."""

    def __init__(self, folder: Path, floor_bytes: int) -> None:
        self.folder = folder / FOLDER
        self._floor_bytes = floor_bytes

    def rows(self) -> list[Row]:
        """Return the drafts, by their names."""
        return [_row(path) for path in self._paths()]

    def data(self, name: str) -> bytes:
        """
        Return the ZIP file of a draft.

        Raises:
            DraftRefused: `no-draft`.
        """
        try:
            return self._path(name).read_bytes()
        except FileNotFoundError as error:
            raise DraftRefused("no-draft", t(words.NO_SUCH_DRAFT)) from error

    def read(self, name: str) -> Kept:
        """Return a draft. Raises as `data` does."""
        data = self.data(name)
        return Kept(unpacked(data), version_of(data))

    @files.full_disk_is_told
    def put(self, name: str, draft: Draft, expected: str | None) -> str:
        """
        Put a draft in the place of the version that was read, and return its version.

        Raises:
            DraftRefused: `draft-changed`, `draft-exists`, `no-draft`; `too-many-drafts`; as
                `packed`.
            WorkshopFull: If the disk has no room.
        """
        data = packed(draft)
        with self._turn():
            self._require(name, expected)
            if expected is NEW and len(self._paths()) >= MOST_DRAFTS:
                raise DraftRefused("too-many-drafts", t(words.TOO_MANY, most=MOST_DRAFTS))
            if (free := files.free_bytes(self.folder)) < self._floor_bytes:
                raise WorkshopFull(free)
            fresh = self.folder / FRESH
            fresh.unlink(missing_ok=True)  # of one who was killed
            files.write_new(fresh, data, mode=0o600)
            files.move_into_place(fresh, self._path(name))
        return version_of(data)

    def remove(self, name: str, expected: str) -> None:
        """Throw a draft away. Raises as `put` does."""
        with self._turn():
            self._require(name, expected)
            self._path(name).unlink()

    def _require(self, name: str, expected: str | None) -> None:
        if expected is NEW:
            if self._path(name).exists():
                raise DraftRefused("draft-exists", t(words.EXISTS))
        elif version_of(self.data(name)) != expected:
            raise DraftRefused("draft-changed", t(words.CHANGED))

    def _paths(self) -> list[Path]:
        return draft_files(self.folder)

    def _path(self, name: str) -> Path:
        if not re.fullmatch(DRAFT, name):
            raise DraftRefused("no-draft", t(words.NO_SUCH_DRAFT))
        return self.folder / f"{name}.zip"

    @contextmanager
    def _turn(self) -> Iterator[None]:
        """Write alone, of all threads and processes: what was compared must still be so."""
        self.folder.mkdir(mode=0o700, exist_ok=True)
        with files.in_turn(self.folder / "lock"):
            yield


def draft_files(folder: Path) -> list[Path]:
    """Return the files of the drafts in a folder, by their names; none where there is no folder."""
    return sorted(path for path in folder.glob("*.zip") if re.fullmatch(DRAFT, path.stem))


def version_of(data: bytes) -> str:
    """Return the version of a draft's file."""
    return hashlib.sha256(data).hexdigest()


def _row(path: Path) -> Row:
    found = path.stat()
    return Row(path.stem, found.st_size, datetime.fromtimestamp(found.st_mtime, UTC))
