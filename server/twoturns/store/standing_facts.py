"""
What a standing is judged by, answered from the views, within one transaction.

Entries mostly come as they were written: each the newest of its device, after one that came in just
before it. What the transaction has seen of that is remembered, so that SQLite is not asked; and
what a batch is going to be asked one by one is asked at once (`expect`).
"""

import json
import sys
from collections.abc import Iterable
from typing import Any

from twoturns.ledger.entry import Entry
from twoturns.store.ids import Ids
from twoturns.store.port import Connection

MOST_REMEMBERED = 10_000  # a rebuild is one transaction, too


class Known:
    """What `standing` must know of the ledger, answered from the views."""

    def __init__(self, db: Connection, ids: Ids) -> None:
        self._db, self._ids = db, ids
        self._alone: set[tuple[str, int]] = set()  # numbers that one entry has, and no other
        self._newest: dict[str, int] = {}  # the highest number of a device
        self._expected: set[str] = set()
        self._accepted: set[str] = set()  # of the expected
        self._waiting: dict[str, set[str]] = {}  # by the expected one that they wait for

    def expect(self, ids: Iterable[str]) -> None:
        """Ask at once what is going to be asked of entries that may come in."""
        self._expected.update(ids)
        listed = [json.dumps([*self._expected])]
        self._accepted = {row[0] for row in self._db.execute(_ACCEPTED, listed)}
        self._waiting = {}
        for missing, waiting in self._db.execute(_WAITING, listed):
            self._waiting.setdefault(missing, set()).add(waiting)

    def is_above_all(self, entry: Entry) -> bool:
        """Say whether an entry has a number above all that came in of its device: it is new."""
        if entry.device not in self._newest:
            self._newest[entry.device] = self._one(_HIGHEST, entry.device) or 0
        return entry.seq > self._newest[entry.device]

    def come(self, index: int, entry: Entry) -> None:
        """Take note of an entry, just before it stands in the views."""
        if len(self._alone) >= MOST_REMEMBERED:
            self._alone.clear()
        number = (entry.device, entry.seq)
        if self.is_above_all(entry):
            self._newest[entry.device] = entry.seq
            self._alone.add(number)
        else:
            self._alone.discard(number)
        self._ids.add(entry.id, index)

    def is_newest(self, entry: Entry) -> bool:
        """Say whether an entry that has come has a number above all others of its device."""
        number = (entry.device, entry.seq)
        return number in self._alone and self._newest[entry.device] == entry.seq

    def has(self, entry_id: str) -> bool:
        return self.index_of(entry_id) is not None

    def index_of(self, entry_id: str) -> int | None:
        """Return the index of an entry that has come."""
        return self._ids.index_of(self._db, entry_id)

    def has_seq(self, device: str, seq: int, times: int = 1) -> bool:
        if times == 1 and (device, seq) in self._alone:
            return True
        sql = "select 1 from entries where device = ? and seq = ? limit 1 offset ?"
        return self._one(sql, device, seq, times - 1) is not None

    def is_forked(self, device: str, seq: int) -> bool:
        return (device, seq) not in self._alone and len(self.forking(device, seq, 2)) == 2

    def forking(self, device: str, seq: int, most: int = sys.maxsize) -> list[str]:
        """Return the entries of this seq, by id, that fork each other if they are several."""
        sql = "select id from entries where device = ? and seq = ? and forks = 1 limit ?"
        return [row[0] for row in self._db.execute(sql, [device, seq, most]).fetchall()]

    def is_accepted(self, entry_id: str) -> bool:
        if entry_id in self._expected:
            return entry_id in self._accepted
        return self._one("select 1 from accepted where id = ?", entry_id) is not None

    def accept(self, ids: list[str]) -> None:
        """Note that an acceptance which counts names entries."""
        rows = [[one] for one in ids]
        self._db.executemany("insert into accepted values (?) on conflict do nothing", rows)
        self._accepted.update(ids)

    def is_held(self, entry_id: str) -> bool:
        sql = 'select 1 from entries where "index" = ? and shown is null'
        return self._one(sql, self.index_of(entry_id)) is not None

    def wait(self, missing: str, waiting: str) -> None:
        """Note that an entry comes after one that has not come in."""
        self._db.execute(
            "insert into waits values (?, ?) on conflict do nothing", [missing, waiting]
        )
        if missing in self._expected:
            self._waiting.setdefault(missing, set()).add(waiting)

    def waiting_for(self, entry_id: str) -> set[str]:
        """Return the entries that came after this one, and before it had come in."""
        if entry_id in self._expected:
            return self._waiting.get(entry_id, set())
        rows = self._db.execute("select id from waits where missing = ?", [entry_id])
        return {row[0] for row in rows.fetchall()}

    def end_waiting(self, entry_id: str) -> None:
        """Forget who waited for an entry: it is here."""
        self._db.execute("delete from waits where missing = ?", [entry_id])
        self._waiting.pop(entry_id, None)

    def _one(self, sql: str, *parameters: object) -> Any:  # noqa: ANN401 - a SQLite value
        row = self._db.execute(sql, parameters).fetchone()
        return None if row is None else row[0]


_HIGHEST = "select max(seq) from entries where device = ?"
_ACCEPTED = "select id from accepted where id in (select value from json_each(?))"
_WAITING = "select missing, id from waits where missing in (select value from json_each(?))"
