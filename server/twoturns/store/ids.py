"""
Where an entry stands in the ledger, by its id.

Ids come in no order. An index kept row by row writes another page of the file for nearly each of
them: of a batch of 50 that was two fifths of all that its commit wrote, and more with each year. So
the newest entries' ids are held in memory, and go into the index many at once, in its order. Which
are in it says `indexed`, of the same transaction: who dies in between has lost nothing, for the
others are read from the entries anew.
"""

from twoturns.store.port import Connection

SCHEMA = """
create table ids (head integer not null, "index" integer not null,
    primary key (head, "index")) strict, without rowid;
create table indexed (until integer primary key) strict;
"""
# Some 3 MiB of memory, and 30 ms of a process's first write; 1 batch in 300 waits for the index.
MOST_HELD = 16_384
HEAD_DIGITS = 15  # of the id, in hex: what fits SQLite's integer. Whose id it is the record says.


class Ids:
    """The ids of one process's write transactions, one after the other."""

    def __init__(self) -> None:
        self._newest: dict[str, int] = {}  # from `_start` on
        self._start = self._end = 0

    def catch_up(self, db: Connection) -> None:
        """Take in, as a transaction begins, what others wrote since the last one."""
        (start,) = db.execute("select coalesce(max(until), 0) from indexed").fetchone()
        if start != self._start:
            self._newest.clear()
            self._start = self._end = start
        for index, entry_id in db.execute(_SINCE, [self._end]).fetchall():
            self.add(entry_id, index)

    def forget(self) -> None:
        """Let go of all: a transaction was undone."""
        self._newest.clear()
        self._start = self._end = -1

    def add(self, entry_id: str, index: int) -> None:
        """Take in the next entry."""
        self._newest[entry_id] = index
        self._end = index + 1

    def index_of(self, db: Connection, entry_id: str) -> int | None:
        """Return the index of an entry that is in the ledger."""
        if entry_id in self._newest:
            return self._newest[entry_id]
        row = db.execute(_FIND, [_head(entry_id), entry_id]).fetchone()
        return None if row is None else int(row[0])

    def write(self, db: Connection) -> None:
        """
        Bring the index up to date, once so many are not in it: up to the same place whoever does.
        """
        until = self._end - self._end % MOST_HELD
        if until <= self._start:
            return
        full = [one for one in self._newest.items() if one[1] < until]
        rows = sorted((_head(entry_id), index) for entry_id, index in full)
        db.executemany("insert into ids values (?, ?)", rows)
        db.execute("delete from indexed")
        db.execute("insert into indexed values (?)", [until])
        for entry_id, _ in full:
            del self._newest[entry_id]
        self._start = until


def _head(entry_id: str) -> int:
    return int(entry_id[:HEAD_DIGITS], 16)


_SINCE = 'select "index", id from entries where "index" >= ? order by "index"'
_FIND = """
select ids."index" from ids join records using ("index") where head = ? and id = ?
"""
