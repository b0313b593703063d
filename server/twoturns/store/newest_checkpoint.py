"""
The newest signed checkpoint, outside the database: `newest-checkpoint`.

What a commit wrote lies in a log beside the database until SQLite moves it. A log that is deleted,
cut or damaged takes the newest records with it, and the database opens as if they had never been.
So after each commit, before its answer leaves, the checkpoint is written here too; a database that
is smaller, or has another root there, is refused.

The file has two places of 512 bytes, a sector each, written by turns: whatever is torn, the other
one stands. The bytes go to the system at once, which a killed process does not undo, and to the
disk once a second at the most (a flush for each would cost a commit half as much again). After a
power cut the last second, or what the system had not yet written, may be unguarded: it was flushed
by the commit itself, and phones say `rewound` if it is lost nevertheless.
"""

import fcntl
import os
import time
from collections.abc import Callable, Collection, Sequence
from pathlib import Path
from typing import Final

from twoturns.ledger import checkpoint
from twoturns.ledger.checkpoint import Checkpoint
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.tree import Tree
from twoturns.store import files
from twoturns.store.book import Nodes, size_of
from twoturns.store.errors import RESTORE, Damaged, RecordsLost
from twoturns.store.port import Connection
from twoturns.words import t
from twoturns.words.en.store import newest_checkpoint as words

NAME: Final = "newest-checkpoint"
PLACE_BYTES: Final = 512
SYNC_SECONDS: Final = 1.0


class Newest:
    """The file of one data folder. Its path may be opened by several processes at once."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / NAME
        self._turn = 0
        self._synced = 0.0

    def check(
        self,
        db: Connection,
        notes: Sequence[str],
        workshop: str,
        keys: Collection[str],
    ) -> Checkpoint:
        """
        Compare the ledger with the newest checkpoint; return that, or the ledger's own head.

        Args:
            db: The ledger, on one snapshot.
            notes: What stood here before that snapshot was taken.
            workshop: Its workshop.
            keys: The workshop's keys, of whatever time: one of them signed.

        Raises:
            RecordsLost: If the ledger is smaller, or the file is gone or unreadable.
            Damaged: If the ledger's root was another at that size.
        """
        tree = Tree(Nodes(db), size_of(db))
        if not notes:
            if db.is_marked("guarded"):
                raise RecordsLost(t(words.IS_MISSING, path=str(self.path)), size=tree.size)
            return Checkpoint(tree.size, tree.root())
        read = [_opened(note, keys, workshop) for note in notes]
        self._turn = min((0, 1), key=lambda place: _size_of(read[place]))
        newest = read[1 - self._turn]
        if newest is None:
            raise RecordsLost(t(words.HOLDS_NO_CHECKPOINT, path=str(self.path)), size=tree.size)
        require(tree, newest)
        return newest

    @files.full_disk_is_told
    def write(self, sign: Callable[[], str]) -> None:
        """
        Write the newest checkpoint. `sign` gives it, and is asked when it is this one's turn, so
        that of two processes the later never writes the older one.
        """
        file = self._open()
        try:
            fcntl.flock(file, fcntl.LOCK_EX)
            os.pwrite(file, sign().encode().ljust(PLACE_BYTES, b"\n"), self._turn * PLACE_BYTES)
            self._turn = 1 - self._turn
            if time.monotonic() - self._synced > SYNC_SECONDS:
                os.fsync(file)
                self._synced = time.monotonic()
        finally:
            os.close(file)

    def set_aside(self) -> None:
        """Take the file away, under a name by which it can still be looked at."""
        if self.path.exists():
            files.move_into_place(self.path, self.path.with_name(f"{NAME}.lost"))

    def _open(self) -> int:
        try:
            return os.open(self.path, os.O_RDWR)
        except FileNotFoundError:
            file = os.open(self.path, os.O_RDWR | os.O_CREAT, 0o600)
            files.sync_folder(self.path.parent)
            return file

    def notes(self) -> list[str]:
        """Return what stands in the two places; nothing, if there is no file."""
        try:
            data = self.path.read_bytes()
        except FileNotFoundError:
            return []
        parts = (data[at : at + PLACE_BYTES] for at in (0, PLACE_BYTES))
        return [part.decode(errors="replace").rstrip("\n") + "\n" for part in parts]


def require(tree: Tree, seen: Checkpoint) -> None:
    """
    Refuse a ledger that is not what it was seen to be.

    Raises:
        RecordsLost: If it is smaller.
        Damaged: If its root was another at that size.
    """
    if tree.size < seen.size:
        raise RecordsLost(t(words.FEWER_RECORDS, size=tree.size, had=seen.size), size=tree.size)
    if tree.root(seen.size) != seen.root:
        raise Damaged(
            t(words.FIRST_RECORDS_DIFFER, size=seen.size),
            hint=RESTORE,
        )


def _opened(note: str, keys: Collection[str], workshop: str) -> Checkpoint | None:
    for key in keys:
        try:
            return checkpoint.open(note, key, workshop)
        except LedgerError:
            continue
    return None


def _size_of(one: Checkpoint | None) -> int:
    return -1 if one is None else one.size
