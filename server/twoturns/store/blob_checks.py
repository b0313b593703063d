"""
What was found when a blob was last read through: `blob-checks.db`, beside the ledger.

It is no truth: whoever removes it has every blob read anew, and nothing else happens. It stands in
a file of its own, so that looking at photos never waits for the ledger, nor the ledger for it.
Where the ledger lies on a server these are tables beside it: such a file cannot be shared by
machines (SQLite's write-ahead log needs memory that all who open it share).

    whole       the bytes hash to their name
    altered     they do not: they were changed on the disk, by somebody or by the disk
    missing     the ledger says that the workshop keeps the blob, and it is not on the disk
    mistyped    whole, and not the kind of image that its entry calls it
    misshown    whole, and its thumbnail was of something else; that was made anew
"""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal

from twoturns.store import database as embedded
from twoturns.store.errors import Damaged
from twoturns.store.port import Connection, Database, Row, run_script
from twoturns.store.times import as_text

NAME = "blob-checks.db"
Found = Literal["whole", "altered", "missing", "mistyped", "misshown"]

SCHEMA = """
create table if not exists checked (
    blob text primary key, found text not null, found_at text not null, read_at text not null)
    strict, without rowid;
create index if not exists checked_found on checked (found);
create table if not exists slices (
    begun text primary key, blobs integer not null, damaged integer not null) strict, without rowid;
"""
TABLES = ("checked", "slices")


@dataclass(frozen=True)
class Check:
    """
    What was found of a blob, since when it is so, and when it was last read through (each an `at`).
    """

    blob: str
    found: Found
    found_at: str
    read_at: str


def put_rows(db: Connection, table: str, rows: Sequence[Row]) -> None:
    """Have a table hold just these rows."""
    db.execute(f"delete from {table}")  # noqa: S608 - the name is the program's
    if rows:
        marks = ", ".join("?" * len(rows[0]))
        db.executemany(f"insert into {table} values ({marks})", [[*row.values()] for row in rows])  # noqa: S608 - as above


def count_of(database: Database, table: str) -> int:
    """Return how many rows a table has."""
    return int(database.rows(f"select count(*) as count from {table}")[0]["count"])  # noqa: S608 - as above


class Checks:
    """
    What was found. Its tables are made when something is first noted.

    Args:
        database: Where they stand, with transactions apart from the ledger's.
        file: The file that this is, where it is one of its own.
    """

    def __init__(self, database: Database, file: Path | None = None) -> None:
        self._database, self._file = database, file
        self._is_ready = False

    @classmethod
    def beside(cls, folder: Path, ledger: Database, open_again: Callable[[], Database]) -> "Checks":
        """Return those of a workshop's folder, given its ledger, and what opens that once more."""
        if not ledger.connection().is_embedded:
            return cls(open_again())
        file = folder / NAME
        return cls(embedded.Database(file), file)

    def let_go(self) -> None:
        """Close this thread's connection."""
        self._database.close()

    def note(self, blob: str, found: Found) -> None:
        """Note what was found just now."""
        with self._ready().write() as db:
            db.execute(_NOTE, {"blob": blob, "found": found, "now": as_text(datetime.now(UTC))})

    def settle(self, blob: str) -> None:
        """Note that a blob is whole, where something else stands of it: no write otherwise."""
        if self.of(blob) not in (None, "whole"):
            self.note(blob, "whole")

    def forget(self, blob: str) -> None:
        """Drop what is noted of a blob that was erased."""
        if self.of(blob) is not None:
            with self._ready().write() as db:
                db.execute("delete from checked where blob = ?", [blob])

    def of(self, blob: str) -> Found | None:
        """Return what was found last; None if the blob was never read."""
        rows = self._rows("select found from checked where blob = ?", [blob])
        return rows[0]["found"] if rows else None

    def bad(self) -> list[Check]:
        """Return all that were not found to be what they should be, the newest first."""
        rows = self._rows(_BAD)
        return [Check(**row) for row in rows]

    def read_at(self, blobs: Sequence[str]) -> dict[str, str]:
        """Return when each of these blobs that ever was read through was that last."""
        rows = self._rows(_READ_AT, [json.dumps(blobs)])
        return {one["blob"]: one["read_at"] for one in rows}

    def begin_slice(self, now: datetime) -> None:
        """Note that a slice of the daily reading has begun: even one that dies is the day's."""
        with self._ready().write() as db:
            db.execute(_SLICE, [as_text(now), 0, 0])

    def end_slice(self, begun: datetime, blobs: int, damaged: int) -> None:
        with self._ready().write() as db:
            db.execute(_SLICE, [as_text(begun), blobs, damaged])

    def last_slice(self) -> str | None:
        """Return when the newest slice was begun, an `at`."""
        rows = self._rows("select max(begun) as begun from slices")
        return rows[0]["begun"] if rows else None

    def counts(self) -> dict[str, int]:
        """Return how many rows each of its tables has."""
        return {
            table: count_of(self._ready(), table) if self._is_there() else 0 for table in TABLES
        }

    def take_over(self, other: "Checks") -> None:
        """Have what another knows, and nothing else: as of a workshop that is moved."""
        held = {table: other._rows(f"select * from {table}") for table in TABLES}  # noqa: S608 - constants only
        if not any(held.values()) and not self._is_there():
            return
        with self._ready().write() as db:
            for table, rows in held.items():
                put_rows(db, table, rows)

    def _rows(self, sql: str, parameters: Sequence[str] = ()) -> list[Row]:
        """Ask. Where nobody noted anything yet nothing is known, and asking takes no room."""
        if not self._is_ready and not self._is_there():
            return []
        return self._ready().rows(sql, parameters)

    def _is_there(self) -> bool:
        return self._file.exists() if self._file else self._database.has_table("checked")

    def _ready(self) -> Database:
        if not self._is_ready:
            try:
                self._make()
            except Damaged:
                if self._file is None:
                    raise
                self._begin_anew(self._file)
            self._is_ready = True
        return self._database

    def _make(self) -> None:
        if not self._database.has_table("checked"):
            with self._database.write() as db:
                run_script(db, SCHEMA)

    def _begin_anew(self, file: Path) -> None:
        """Throw a damaged file away: all it said can be found out again."""
        self._database.close()
        for end in ("", "-wal", "-shm"):
            file.with_name(file.name + end).unlink(missing_ok=True)
        self._make()


_SLICE = """
insert into slices values (?, ?, ?)
on conflict (begun) do update set blobs = excluded.blobs, damaged = excluded.damaged
"""
_READ_AT = """
select blob, read_at from checked where blob in (select value from json_each(?))
"""
# By name: an index finds what a value is, and not what it is not.
_BAD = """
select * from checked where found in ('altered', 'missing', 'mistyped', 'misshown')
order by found_at desc, blob
"""
_NOTE = """
insert into checked values (:blob, :found, :now, :now)
on conflict (blob) do update set read_at = :now, found = :found,
    found_at = case when checked.found = :found then checked.found_at else :now end
"""
