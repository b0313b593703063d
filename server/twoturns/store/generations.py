"""
A backup folder: several generations of the ledger, and every blob once.

    ledger-000000001042.db   the ledger of so many records: records and tree, nothing else
    ledger-000000001042.working/   drafts and house.yaml as they were then (`working_files`)
    blobs/ab/SHA             the blobs that all of them speak of
    checked                  how far signatures were checked, signed by the workshop
    lock                     held by the one backup that is at work; not empty while it copies blobs

A generation has its name only when it was read back from the disk, and is never written to again:
whenever a backup is broken off, all that were there before are there still. Views are left out:
they are computed anew, and hold VIN and plate in clear, which an erasure must reach.
"""

import base64
import fcntl
import os
import re
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from twoturns.ledger import checkpoint, note
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.record import parse
from twoturns.ledger.tree import Tree
from twoturns.store import book, files
from twoturns.store.blob_folder import BlobFolder
from twoturns.store.blobs import file_sha256
from twoturns.store.check import checked_records
from twoturns.store.database import Connection as FileConnection
from twoturns.store.database import called_what_it_is
from twoturns.store.errors import Damaged, StoreError
from twoturns.store.port import Connection
from twoturns.words import t
from twoturns.words.en.store import generations as words

OLD_FORM = "ledger.db"  # the one generation that backups kept before there were several
FRESH = "ledger.new"
CHECKED = "checked"
LOCK = "lock"
_NAME = re.compile(r"ledger-([0-9]{12})\.db")


@dataclass(frozen=True)
class Generation:
    """One ledger of a backup. `size` is what its name says; 0 for one of the old form."""

    path: Path
    size: int

    @property
    def working(self) -> Path:
        """Where the working files of its time have their place."""
        return self.path.with_suffix(".working")


class BackupFolder:
    """A folder with a backup in it, or an empty one."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.blobs = BlobFolder(folder / "blobs")

    def generations(self) -> list[Generation]:
        """Return the ledgers, the largest first; one of the old form is older than all others."""
        found = [
            Generation(path, int(form[1]))
            for path in self.folder.iterdir()
            if (form := _NAME.fullmatch(path.name))
        ]
        if (self.folder / OLD_FORM).is_file():
            found.append(Generation(self.folder / OLD_FORM, 0))
        return sorted(found, key=lambda one: one.size, reverse=True)

    def place(self, size: int) -> Path:
        """Return where the generation of a size has its place."""
        return self.folder / f"ledger-{size:012d}.db"

    def prune(self, most: int) -> None:
        """Remove the smallest generations beyond so many."""
        for one in self.generations()[most:]:
            one.path.unlink()
            shutil.rmtree(one.working, ignore_errors=True)
        files.sync_folder(self.folder)

    def checked_up_to(self, tree: Tree, key: str, workshop: str) -> int:
        """
        Return up to which record signatures were checked by a backup before; 0 if none says so.

        The note counts only if the workshop key signed it and the tree had that very root: flipped
        bytes in it, another's note, or a ledger that was changed before there, and all is checked.
        """
        said = self._note(key, workshop)
        try:
            return said.size if said is not None and said.root == tree.root(said.size) else 0
        except LedgerError:
            return 0

    def checked_file(self, key: str, workshop: str) -> "Checked | None":
        """
        Return what the workshop signed when it had checked a generation that is here, with the hash
        of its file: while the file has it, the generation is what it was then.
        """
        said = self._note(key, workshop)
        is_here = said is not None and said.sha256 != "" and self.place(said.size).is_file()
        return said if is_here else None

    def _note(self, key: str, workshop: str) -> "Checked | None":
        try:
            said = (self.folder / CHECKED).read_text()
            parts = note.split(said)
            found = None if parts is None else _checked_in(parts[0])
        except (OSError, LedgerError, IndexError, ValueError):
            return None
        if parts is None or found is None or parts[0] != found.text(workshop):
            return None
        return found if note.is_signed(*parts, key, checkpoint.origin_of(workshop)) else None

    def note_checked(self, signed: str) -> None:
        """Write down, as the workshop signed it, how far signatures were checked."""
        files.write_anew(self.folder / CHECKED, signed.encode())

    def workshop(self) -> str | None:
        """Return whose backup it is, as the first record that can be read says; None: no one's."""
        for one in self.generations():
            try:
                with read_ledger(one.path) as db:
                    return workshop_of(db)
            except Damaged:
                continue
        return None

    @contextmanager
    def locked(self) -> Iterator[None]:
        """
        Be the only backup at work in the folder.

        Raises:
            StoreError: `backup-busy`.
        """
        file = os.open(self.folder / LOCK, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            yield
        except BlockingIOError:
            raise StoreError(
                t(words.BACKUP_AT_WORK, folder=str(self.folder)),
                code="backup-busy",
                hint=t(words.BACKUP_AT_WORK_HINT),
            ) from None
        finally:
            os.close(file)

    def begin_blobs(self) -> bool:
        """Note durably that blobs are being copied; say whether a run before never ended that."""
        file = os.open(self.folder / LOCK, os.O_RDWR)
        try:
            is_unfinished = os.fstat(file).st_size > 0
            os.pwrite(file, b"1", 0)
            os.fsync(file)
        finally:
            os.close(file)
        return is_unfinished

    def end_blobs(self) -> None:
        """Note that all blobs are there."""
        file = os.open(self.folder / LOCK, os.O_RDWR)
        try:
            os.ftruncate(file, 0)
        finally:
            os.close(file)


@dataclass(frozen=True)
class Checked:
    """
    A ledger of which the workshop has checked every signature: its size and root, and the SHA-256
    of the generation's file. Backups of before did not write the hash (empty).
    """

    size: int
    root: bytes
    sha256: str

    def text(self, workshop: str) -> str:
        """Return the text that the workshop signs."""
        hashed = f"{self.sha256}\n" if self.sha256 else ""
        root = base64.b64encode(self.root).decode()
        return f"two-turns/{workshop}/checked\n{self.size}\n{root}\n{hashed}"


def _checked_in(text: str) -> Checked:
    _, size, root, *more = text.splitlines()
    return Checked(int(size), base64.b64decode(root, validate=True), more[0] if more else "")


def read_back(fresh: Path) -> str:
    """
    Return the SHA-256 of a file that was just written, read from the disk.

    Raises:
        Damaged: If that is not what was written.
    """
    with fresh.open("rb") as file:
        written = file_sha256(file)
    files.forget_cached(fresh)
    with fresh.open("rb") as file:
        if file_sha256(file) != written:
            said = t(words.LEDGER_READS_OTHERWISE, folder=str(fresh.parent))
            raise Damaged(said, hint=t(words.DISK_IS_FAILING))
    return written


@contextmanager
def read_ledger(path: Path) -> Iterator[Connection]:
    """
    Open a ledger that nobody writes to, and read it from the disk.

    Raises:
        Damaged: If it is no database, or a torn one.
    """
    files.forget_cached(path)
    with called_what_it_is():
        connection = sqlite3.connect(f"{path.resolve().as_uri()}?immutable=1", uri=True)
        try:
            yield FileConnection(connection)
        except sqlite3.OperationalError as error:
            if "no such table" in str(error):
                raise Damaged(t(words.HOLDS_NO_LEDGER, path=str(path)), hint=_ANOTHER) from error
            raise
        finally:
            connection.close()


def workshop_of(db: Connection) -> str:
    """
    Return the workshop that a ledger is of.

    Raises:
        Damaged: If its first record cannot be read.
    """
    try:
        row = db.execute('select record from records where "index" = 0').fetchone()
        return parse(row[0]).entry.workshop
    except (LedgerError, TypeError) as error:
        raise Damaged(t(words.FIRST_RECORD_UNREADABLE), hint=_ANOTHER) from error


def whole_tree(db: Connection) -> Tree:
    """
    Return the tree of a ledger, every record and node of it compared.

    Raises:
        Damaged: If one does not match.
    """
    for _ in checked_records(db):
        pass
    return Tree(book.Nodes(db), book.size_of(db))


_ANOTHER = t(words.TAKE_ANOTHER_GENERATION)
