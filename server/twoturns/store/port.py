"""
What the store asks of the engine that holds a workshop's ledger: SQLite in the workshop's folder
(`database.py`), or PostgreSQL (`postgres.py`). `ledger_url.py` says which.

There is one text of each statement, in what both engines understand: `?` and `:name` for what is
filled in, schemas as SQLite has them. What engines differ in is behind these two, and whoever is
given one does not ask which it is.
"""

from abc import abstractmethod
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any, Literal, Protocol

Row = dict[str, Any]
Parameters = Sequence[Any] | Mapping[str, Any]
# Of a ledger: that it was put back from a backup, and nothing was written to it since; that its
# newest checkpoint lies outside it, too.
Mark = Literal["backup", "guarded"]


class Cursor(Protocol):
    """What came of a statement. Rows are tuples; a truth in them is 1 or 0."""

    @property
    def description(self) -> Sequence[Sequence[Any]] | None: ...
    @property
    def rowcount(self) -> int: ...
    def fetchone(self) -> Any: ...  # noqa: ANN401 - a row of whatever was asked for
    def fetchall(self) -> list[Any]: ...
    def __iter__(self) -> Iterator[Any]: ...


class Connection(Protocol):
    """What a transaction is led by; or, outside of one, whatever asks by itself."""

    @property
    def is_embedded(self) -> bool:
        """Say whether the ledger is a file of this machine's."""

    def execute(self, sql: str, parameters: Sequence[Any] | dict[str, Any] | None = None) -> Cursor:
        """Run a statement."""

    def each(
        self, sql: str, parameters: Sequence[Any] | dict[str, Any] | None = None
    ) -> Iterator[Any]:
        """Yield rows one after the other, within a transaction: never all of them are held."""

    def executemany(self, sql: str, rows: Iterable[Parameters]) -> None:
        """Run a statement once for each row."""

    def put_rows(self, table: str, rows: Iterable[Sequence[Any]]) -> None:
        """Put whole rows into a table, within a transaction: as many as come, and none is held."""

    def later(self, sql: str, row: Parameters) -> None:
        """
        Have a row written, within this transaction, before the next statement.

        Rows of different statements may change places: none of them reads what another writes.
        """

    def is_marked(self, mark: Mark) -> bool:
        """Say whether the ledger has a mark."""

    def mark(self, mark: Mark, is_one: bool) -> None:
        """Give the ledger a mark, or take it away. Part of the transaction."""

    def notes(self) -> set[str]:
        """Return what is noted at the ledger itself of moves (`moves`); at a file nothing is."""

    def note(self, said: str, is_so: bool) -> None:
        """Note something for whoever reaches the ledger, or that it is no longer so. As `mark`."""


class Rows(Protocol):
    """What is read by one statement."""

    @abstractmethod
    def rows(self, sql: str, parameters: Parameters = ()) -> list[Row]:
        """Return all rows."""

    def row(self, sql: str, parameters: Parameters = ()) -> Row | None:
        """Return the first row, if any."""
        return next(iter(self.rows(sql, parameters)), None)


class Database(Rows, Protocol):
    """A workshop's ledger in its engine. Safe to share between threads; not across a fork."""

    @property
    def file(self) -> Path | None:
        """The ledger's file, if it is one."""

    def connection(self) -> Connection:
        """Return what this thread asks by: its transaction, if it is in one."""

    def has_table(self, name: str) -> bool:
        """Say whether there is a table: a new or foreign ledger has none of ours."""

    def read(self) -> AbstractContextManager[Connection]:
        """Run several reads on one snapshot, so that a page and its checkpoint agree."""

    def write(self, *, is_long: bool = False) -> AbstractContextManager[Connection]:
        """
        Run one write transaction, the only one of the workshop: all of it is durable when the block
        ends, or nothing.

        Args:
            is_long: Whether one statement may take minutes, as where views are made anew.

        Raises:
            WorkshopFull: If the disk has no room for it. Nothing of it was kept.
            WorkshopLocked: If somebody else did not let go of the ledger in time.
            WorkshopShut: If this program may not write it; `WorkshopMoved`: as it is elsewhere.
            WorkshopAway: If the engine cannot be reached.
        """

    def require_here(self) -> None:
        """
        See that the ledger, or its photos, were not moved elsewhere: at the ledger, whatever the
        folder of this machine says.

        Raises:
            WorkshopMoved: If they were.
        """

    def alone(self) -> AbstractContextManager[None]:
        """Wait until nobody else is in here, however long they take."""

    def forget_the_past(self) -> None:
        """
        Have what was deleted no longer stand anywhere beside the rows, as far as that can be had.

        Somebody who is reading at this moment keeps it; it is tried again with the next erasure
        and at the next start.
        """

    def has_standby(self) -> bool | None:
        """Say whether a second server has each commit before it returns; None of a file."""

    def close(self) -> None:
        """Let go of what this thread holds."""


def rows_of(db: Connection, sql: str, parameters: Parameters = ()) -> list[Row]:
    """Return all rows. A list, never a generator: an open one pins a snapshot."""
    given = dict(parameters) if isinstance(parameters, Mapping) else parameters
    cursor = db.execute(sql, given)
    names = [column[0] for column in cursor.description or ()]
    return [dict(zip(names, row, strict=True)) for row in cursor]


def run_script(db: Connection, script: str) -> None:
    """Run statements inside the transaction."""
    for statement in filter(str.strip, script.split(";")):
        db.execute(statement)
