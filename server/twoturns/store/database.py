"""
The SQLite file: one connection a thread, one kind of write transaction.

Two traps of the library decide the shape. Its table calls commit by themselves outside a
transaction, and its own `atomic()` begins deferred: eight writers lost 347 of 400 writes to
"database is locked" at once, whatever the timeout. So every write goes through `write()`,
which is BEGIN IMMEDIATE: the second writer waits.

What is rare goes by the library: whether a table is there, its making anew and its dropping, rows
as mappings. What goes on with each entry is plain SQL on its connection: a row by `table.insert`
asks for the table's columns first and took 47 us, by `execute` 4 us; and schemas are SQL, for it
has no words for partial indexes, checks and tables without a rowid.

WAL with `synchronous=FULL`: a commit that returned is on the disk. NORMAL may lose the last
commits when the power goes, and measured no faster.
"""

import fcntl
import os
import sqlite3
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Any

import sqlite_utils

from twoturns.store.errors import (
    RESTORE,
    Damaged,
    StoreError,
    WorkshopFull,
    WorkshopLocked,
    WorkshopShut,
    told_as,
)
from twoturns.store.port import Mark, Parameters, Row, Rows, rows_of
from twoturns.words import t
from twoturns.words.en.store import database as words

LOCK_FILE = "views.lock"
WAIT_SECONDS = 30.0
LOOK_SECONDS = 0.0005
PATIENCE_MS = 1_000
# What is mapped counts as a process's memory: more of it would grow with the ledger.
MEMORY_MAP_BYTES = 1 << 26
# Where in the file's head a mark stands, and what stands there.
MARKS: dict[Mark, tuple[str, int]] = {
    "backup": ("user_version", 1),
    "guarded": ("application_id", 0x74776F32),
}


class Connection(sqlite_utils.Database):
    """
    A thread's connection. What can wait (`later`) is written many rows at once, before anything
    else is asked or written: a statement of its own for each costs several times as much.
    """

    is_embedded = True

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._waiting: dict[str, list[Parameters]] = {}
        super().__init__(connection, strict=True)

    def later(self, sql: str, row: Parameters) -> None:
        """
        Have a row written, within this transaction, before the next statement.

        Rows of different statements may change places: none of them reads what another writes.
        """
        self._waiting.setdefault(sql, []).append(row)

    def execute(
        self, sql: str, parameters: Sequence[Any] | dict[str, Any] | None = None
    ) -> sqlite3.Cursor:
        """Run a statement."""
        self._write()
        return super().execute(sql, parameters)

    def each(
        self, sql: str, parameters: Sequence[Any] | dict[str, Any] | None = None
    ) -> Iterator[Any]:
        """Yield rows one after the other."""
        yield from self.execute(sql, parameters)

    def executemany(self, sql: str, rows: Iterable[Parameters]) -> None:
        """Run a statement once for each row."""
        self._write()
        self.conn.executemany(sql, rows)

    def put_rows(self, table: str, rows: Iterable[Sequence[Any]]) -> None:
        """Put whole rows into a table."""
        columns = self.execute(f"select * from {table} limit 0").description  # noqa: S608 - our own
        marks = ", ".join("?" * len(columns))
        self.executemany(f"insert into {table} values ({marks})", rows)  # noqa: S608 - our own

    def is_marked(self, mark: Mark) -> bool:
        """Say whether the ledger has a mark."""
        name, value = MARKS[mark]
        return bool(self.execute(f"PRAGMA {name}").fetchone()[0] == value)

    def mark(self, mark: Mark, is_one: bool) -> None:
        """Give the ledger a mark, or take it away. Part of the transaction."""
        name, value = MARKS[mark]
        self.execute(f"PRAGMA {name} = {value if is_one else 0}")

    def notes(self) -> set[str]:
        """Return nothing: the folder that the file lies in says it."""
        return set()

    def note(self, said: str, is_so: bool) -> None:
        """As `notes`."""

    def forget(self) -> None:
        """Let go of what waits: its transaction is undone."""
        self._waiting.clear()

    def _write(self) -> None:
        while self._waiting:
            if not self.conn.in_transaction:  # a full disk ended it: nothing goes in by itself
                raise RuntimeError("rows wait, and their transaction is over")
            sql, rows = next(iter(self._waiting.items()))
            self.conn.executemany(sql, rows)
            del self._waiting[sql]  # else they wait, and no COMMIT goes past them


class Database(Rows):
    """The ledger's database file. Safe to share between threads; not across a fork."""

    def __init__(self, path: Path) -> None:
        self.path = self.file = path
        self._local = threading.local()

    def connection(self) -> Connection:
        """Return this thread's connection, opening it the first time."""
        held: tuple[int, Connection] | None = getattr(self._local, "held", None)
        if held is None or held[0] != os.getpid():
            with called_what_it_is():
                held = (os.getpid(), self._open())
            self._local.held = held
        return held[1]

    def _open(self) -> Connection:
        connection = sqlite3.connect(self.path, timeout=WAIT_SECONDS, isolation_level=None)
        for pragma in (
            "journal_mode=WAL",
            "synchronous=FULL",
            "foreign_keys=ON",
            "secure_delete=ON",  # of this build it may be the default, and must not hang on that
            f"mmap_size={MEMORY_MAP_BYTES}",
        ):
            connection.execute(f"PRAGMA {pragma}")
        return Connection(connection)

    def forget_the_past(self) -> None:
        """
        Bring the log beside the file down to nothing: what was deleted still stands in it.

        Somebody who is reading at this moment keeps it; it is tried again with the next erasure
        and at the next start.
        """
        connection = self.connection().conn
        connection.execute(f"PRAGMA busy_timeout={PATIENCE_MS}")  # writers wait for this meanwhile
        try:
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
        finally:
            connection.execute(f"PRAGMA busy_timeout={WAIT_SECONDS * 1000:.0f}")

    def require_here(self) -> None:
        """Whether it is elsewhere its folder says."""

    def has_standby(self) -> bool | None:
        """Say whether a second server has each commit before it returns: it is a file."""
        return None

    def close(self) -> None:
        """Close this thread's connection."""
        held = getattr(self._local, "held", None)
        if held is not None:
            held[1].close()
            self._local.held = None

    def rows(self, sql: str, parameters: Parameters = ()) -> list[Row]:
        """Return all rows. A list, never a generator: an open one pins a snapshot of the file."""
        with called_what_it_is():
            return rows_of(self.connection(), sql, parameters)

    def has_table(self, name: str) -> bool:
        """Say whether the file has a table: a new or foreign one has none of ours."""
        with called_what_it_is():
            return self.connection().table(name).exists()

    @contextmanager
    def alone(self) -> Iterator[None]:
        """
        Wait until nobody else is in here, however long they take. SQLite's own wait has an end; and
        its file is not to be opened beside it, as closing that would drop its locks.
        """
        try:
            with self.path.with_name(LOCK_FILE).open("w") as file:
                fcntl.flock(file, fcntl.LOCK_EX)
                yield
        except PermissionError as error:
            raise WorkshopShut(str(error)) from error

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """Run several reads on one snapshot, so that a page and its checkpoint agree."""
        yield from self._transaction(lambda db: db.execute("BEGIN"))  # waits for nobody

    @contextmanager
    def write(self, *, is_long: bool = False) -> Iterator[Connection]:
        """
        Run one write transaction: all of it is on the disk when the block ends, or nothing.

        Raises:
            WorkshopFull: If the disk has no room for it. Nothing of it was kept.
            WorkshopLocked: If another program did not let go of the file in time.
            WorkshopShut: If the folder may not be written.
        """
        yield from self._transaction(_begin_writing)

    def _transaction(self, begin: Callable[[sqlite3.Connection], object]) -> Iterator[Connection]:
        db = self.connection()
        with called_what_it_is():
            begin(db.conn)
            try:
                yield db
                db.execute("COMMIT")
            except BaseException:
                db.forget()
                # A full disk ends the transaction by itself; rolling back would hide the cause.
                if db.conn.in_transaction:
                    db.execute("ROLLBACK")
                raise


def _begin_writing(connection: sqlite3.Connection) -> None:
    """
    Begin a write transaction, waiting for who writes now.

    SQLite's own wait sleeps for up to a tenth of a second, however soon the file is free, and who
    waits longest sleeps longest. Here who waits looks often, so that turns are nearly fair; threads
    of one process take theirs before (`Transactions`), so that there are no more who look than
    processes.
    """
    deadline = time.monotonic() + WAIT_SECONDS
    connection.execute("PRAGMA busy_timeout=0")
    try:
        while True:
            try:
                connection.execute("BEGIN IMMEDIATE")
            except sqlite3.OperationalError as error:
                is_busy = isinstance(what_it_is(error), WorkshopLocked)
                if not is_busy or time.monotonic() > deadline:
                    raise
            else:
                return
            time.sleep(LOOK_SECONDS)
    finally:
        connection.execute(f"PRAGMA busy_timeout={WAIT_SECONDS * 1000:.0f}")


def called_what_it_is() -> AbstractContextManager[None]:
    """Turn what SQLite says of a full, locked, shut or damaged file into the store's own errors."""
    return told_as(sqlite3.DatabaseError, what_it_is)


def what_it_is(error: sqlite3.DatabaseError) -> StoreError | None:
    """Return what a failure of SQLite's means for the workshop; None for a fault of ours."""
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF  # without its details
    if code == sqlite3.SQLITE_FULL:
        return WorkshopFull()
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return WorkshopLocked()
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
        return WorkshopShut(str(error))
    if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return Damaged(t(words.LEDGER_DAMAGED, error=str(error)), hint=RESTORE)
    return None
