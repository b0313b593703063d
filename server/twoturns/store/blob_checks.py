"""
What was found when a blob was last read through: `blob-checks.db`, beside the ledger.

It is no truth: whoever removes it has every blob read anew, and nothing else happens. It stands in
a file of its own, so that looking at photos never waits for the ledger, nor the ledger for it.

    whole       the bytes hash to their name
    altered     they do not: they were changed on the disk, by somebody or by the disk
    missing     the ledger says that the workshop keeps the blob, and it is not on the disk
    mistyped    whole, and not the kind of image that its entry calls it
    misshown    whole, and its thumbnail was of something else; that was made anew
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal

from twoturns.store.database import Database, Row, run_script
from twoturns.store.errors import Damaged
from twoturns.store.times import as_text

Found = Literal["whole", "altered", "missing", "mistyped", "misshown"]

SCHEMA = """
create table if not exists checked (
    blob text primary key, found text not null, found_at text not null, read_at text not null)
    strict, without rowid;
create index if not exists checked_found on checked (found);
create table if not exists slices (
    begun text primary key, blobs integer not null, damaged integer not null) strict, without rowid;
"""


@dataclass(frozen=True)
class Check:
    """
    What was found of a blob, since when it is so, and when it was last read through (each an `at`).
    """

    blob: str
    found: Found
    found_at: str
    read_at: str


class Checks:
    """The file of checks. It is opened, and made, when it is first asked for."""

    def __init__(self, path: Path) -> None:
        self._database = Database(path)
        self._is_ready = False

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
            db.execute("insert or replace into slices values (?, 0, 0)", [as_text(now)])

    def end_slice(self, begun: datetime, blobs: int, damaged: int) -> None:
        with self._ready().write() as db:
            row = [as_text(begun), blobs, damaged]
            db.execute("insert or replace into slices values (?, ?, ?)", row)

    def last_slice(self) -> str | None:
        """Return when the newest slice was begun, an `at`."""
        rows = self._rows("select max(begun) as begun from slices")
        return rows[0]["begun"] if rows else None

    def _rows(self, sql: str, parameters: Sequence[str] = ()) -> list[Row]:
        """Ask. Of a file that nobody made yet nothing is known, and asking takes no room."""
        if not self._is_ready and not self._database.path.exists():
            return []
        return self._ready().rows(sql, parameters)

    def _ready(self) -> Database:
        if not self._is_ready:
            try:
                self._make()
            except Damaged:
                self._begin_anew()
            self._is_ready = True
        return self._database

    def _make(self) -> None:
        if not self._database.has_table("checked"):
            with self._database.write() as db:
                run_script(db, SCHEMA)

    def _begin_anew(self) -> None:
        """Throw a damaged file away: all it said can be found out again."""
        self._database.close()
        for end in ("", "-wal", "-shm"):
            self._database.path.with_name(self._database.path.name + end).unlink(missing_ok=True)
        self._make()


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
    found_at = case when found = :found then found_at else :now end
"""
