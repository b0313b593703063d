"""
A backup folder: several generations of the ledger, and every blob once.

    ledger-000000001042.db   the ledger of so many records: records and tree, nothing else
    blobs/ab/SHA             the blobs that all of them speak of
    checked                  how far signatures were checked, signed by the workshop
    lock                     held by the one backup that is at work

A generation has its name only when it was read back from the disk, and is never written to again:
whenever a backup is broken off, all that were there before are there still. Views are left out:
they are computed anew, and hold VIN and plate in clear, which an erasure must reach.
"""

import base64
import fcntl
import os
import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import sqlite_utils

from twoturns.ledger import checkpoint, note
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.record import parse
from twoturns.ledger.tree import Tree
from twoturns.store import book, files
from twoturns.store.blobs import Blobs
from twoturns.store.check import checked_records
from twoturns.store.database import called_what_it_is, mark_as_backup, run_script
from twoturns.store.errors import Damaged, StoreError
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


class BackupFolder:
    """A folder with a backup in it, or an empty one."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.blobs = Blobs(folder / "blobs")

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
            os.unlink(one.path)
        files.sync_folder(self.folder)

    def checked_up_to(self, tree: Tree, key: str, workshop: str) -> int:
        """
        Return up to which record signatures were checked by a backup before; 0 if none says so.

        The note counts only if the workshop key signed it and the tree had that very root: flipped
        bytes in it, another's note, or a ledger that was changed before there, and all is checked.
        """
        try:
            said = (self.folder / CHECKED).read_text()
            size = int(said.split("\n")[1])
            text = checked(workshop, size, tree.root(size))
        except (OSError, LedgerError, IndexError, ValueError):
            return 0
        parts = note.split(said)
        if parts is None or parts[0] != text:
            return 0
        return size if note.is_signed(*parts, key, checkpoint.origin_of(workshop)) else 0

    def note_checked(self, signed: str) -> None:
        """Write down, as the workshop signed it, how far signatures were checked."""
        temporary = self.folder / f"{CHECKED}.new"
        temporary.unlink(missing_ok=True)
        files.write_new(temporary, signed.encode())
        files.move_into_place(temporary, self.folder / CHECKED)

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


def checked(workshop: str, size: int, root: bytes) -> str:
    """Return the text that the workshop signs when it has checked so many records' signatures."""
    return f"two-turns/{workshop}/checked\n{size}\n{base64.b64encode(root).decode()}\n"


def write_ledger(source: Path, fresh: Path) -> None:
    """Write a new file with the records and the tree of another, of one moment, durably."""
    fresh.unlink(missing_ok=True)
    with called_what_it_is():
        connection = sqlite3.connect(fresh, isolation_level=None, uri=True)
        try:
            connection.execute("attach ? as source", [f"{source.resolve().as_uri()}?mode=ro"])
            connection.execute("BEGIN IMMEDIATE")
            db = sqlite_utils.Database(connection, strict=True)
            run_script(db, book.SCHEMA)
            connection.execute("insert into records select * from source.records order by 1")
            connection.execute("insert into nodes select * from source.nodes order by 1, 2")
            mark_as_backup(db, True)
            connection.execute("COMMIT")
        finally:
            connection.close()
    with fresh.open("rb") as file:
        os.fsync(file.fileno())


@contextmanager
def read_ledger(path: Path) -> Iterator[sqlite_utils.Database]:
    """
    Open a ledger that nobody writes to, and read it from the disk.

    Raises:
        Damaged: If it is no database, or a torn one.
    """
    files.forget_cached(path)
    with called_what_it_is():
        connection = sqlite3.connect(f"{path.resolve().as_uri()}?immutable=1", uri=True)
        try:
            yield sqlite_utils.Database(connection)
        except sqlite3.OperationalError as error:
            if "no such table" in str(error):
                raise Damaged(t(words.HOLDS_NO_LEDGER, path=str(path)), hint=_ANOTHER) from error
            raise
        finally:
            connection.close()


def workshop_of(db: sqlite_utils.Database) -> str:
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


def whole_tree(db: sqlite_utils.Database) -> Tree:
    """
    Return the tree of a ledger, every record and node of it compared.

    Raises:
        Damaged: If one does not match.
    """
    for _ in checked_records(db):
        pass
    return Tree(book.Nodes(db), book.size_of(db))


_ANOTHER = t(words.TAKE_ANOTHER_GENERATION)
