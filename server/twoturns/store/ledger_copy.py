"""
Records and tree, copied from one ledger to another.

A backup's generation is an SQLite file, whatever engine the workshop has: a format. From a ledger
that is a file SQLite copies by itself, with the other file at its side; from a server rows come one
after the other.
"""

import hashlib
import os
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from itertools import zip_longest
from pathlib import Path
from typing import Any, Final

from twoturns.store import book, files
from twoturns.store.blobs import PIECE_BYTES
from twoturns.store.database import Connection as FileConnection
from twoturns.store.database import called_what_it_is
from twoturns.store.port import Connection, Database, run_script

CACHE_KIB: Final = 65_536
Source = Path | Database  # a ledger's file, or a ledger in whatever engine


def write_ledger(source: Source, fresh: Path) -> None:
    """Write a new file with the records and the tree of a ledger, of one moment, durably."""
    fresh.unlink(missing_ok=True)
    with _writing(fresh) as new, _beside(new, source) as there:
        run_script(new, book.SCHEMA)
        if there is None:
            new.execute("insert into records select * from source.records order by 1")
            new.execute("insert into nodes select * from source.nodes order by 1, 2")
        else:
            add_rows(there, new, 0)
        new.mark("backup", True)


def write_grown(source: Source, before: Path, sha256: str, fresh: Path) -> bool:
    """
    Write what `write_ledger` writes, from a generation before and what is new in the source. False,
    and nothing that is to be kept, if the generation's file has another hash by now, or the source
    does not begin with just its records and nodes.
    """
    fresh.unlink(missing_ok=True)
    if _copied(before, fresh) != sha256:
        return False
    with _writing(fresh) as new, _beside(new, source) as there:
        size = book.size_of(new)
        if there is not None:
            if not _begins_with(there, new, size):
                return False
            add_rows(there, new, size)
            return True
        if any(new.execute(sql).fetchone() for sql in _DIFFERENT):
            return False
        new.execute('insert into records select * from source.records where "index" >= ?', [size])
        for level in range(_levels(new)):
            new.execute(_NEW_NODES, [level, size >> level])
    return True


def add_rows(source: Connection, to: Connection, size: int, end: int | None = None) -> None:
    """
    Add to a ledger of so many records what another has beyond them, up to `end` records, or all:
    with each record's nodes, so that it is the ledger of that size then.
    """
    end = book.size_of(source) if end is None else end
    to.put_rows("records", source.each(_RECORDS_FROM, [size, end]))
    for level in range(end.bit_length()):
        to.put_rows("nodes", source.each(_NODES_FROM, [level, size >> level, end >> level]))


def _begins_with(ledger: Connection, start: Connection, size: int) -> bool:
    """Say whether a ledger begins with just the records and nodes of a smaller one."""
    asked: list[tuple[str, Sequence[Any]]] = [(_RECORDS_BELOW, [size])]
    asked += [(_NODES_BELOW, [level, size >> level]) for level in range(size.bit_length())]
    return all(
        one == other
        for sql, given in asked
        for one, other in zip_longest(start.each(sql, given), ledger.each(sql, given))
    )


def _copied(path: Path, fresh: Path) -> str:
    digest = hashlib.sha256()
    with path.open("rb") as file, fresh.open("xb") as copy:
        while piece := file.read(PIECE_BYTES):
            digest.update(piece)
            files.write_all(copy.fileno(), piece)
    return digest.hexdigest()


def _levels(db: Connection) -> int:
    (level,) = db.execute("select max(level) from source.nodes").fetchone()
    return int(level or 0) + 1


@contextmanager
def _beside(new: FileConnection, source: Source) -> Iterator[Connection | None]:
    """Put a ledger's file at the side of another, as `source`; or give one that is no file."""
    file = source if isinstance(source, Path) else source.file
    if file is not None:
        new.conn.execute("attach ? as source", [f"{file.resolve().as_uri()}?mode=ro"])
        new.conn.execute("BEGIN IMMEDIATE")
        yield None
    else:
        assert not isinstance(source, Path)  # noqa: S101 - that is a file
        new.conn.execute("BEGIN IMMEDIATE")
        with source.read() as there:
            yield there
    new.conn.execute("COMMIT")


@contextmanager
def _writing(fresh: Path) -> Iterator[FileConnection]:
    """Write a file, durably."""
    with called_what_it_is():
        connection = sqlite3.connect(fresh, isolation_level=None, uri=True)
        try:
            # A file that is not whole is thrown away: what undoes it would be written in vain.
            for pragma in ("journal_mode=OFF", "synchronous=OFF", f"cache_size=-{CACHE_KIB}"):
                connection.execute(f"PRAGMA {pragma}")
            yield FileConnection(connection)
        finally:
            connection.close()
    with fresh.open("rb") as file:
        os.fsync(file.fileno())


_RECORDS_FROM = """
select "index", id, record from records where "index" >= ? and "index" < ? order by "index"
"""
_RECORDS_BELOW = 'select "index", id, record from records where "index" < ? order by "index"'
_NODES_FROM = """
select level, number, hash from nodes where level = ? and number >= ? and number < ?
order by number
"""
_NODES_BELOW = """
select level, number, hash from nodes where level = ? and number < ? order by number
"""
# What a generation has, and its ledger has not, or otherwise. `except` of both would read as much.
_DIFFERENT = (
    """
    select 1 from records left join source.records as now on now."index" = records."index"
    where now.id is not records.id or now.record is not records.record limit 1
    """,
    """
    select 1 from nodes left join source.nodes as now
        on now.level = nodes.level and now.number = nodes.number
    where now.hash is not nodes.hash limit 1
    """,
)
_NEW_NODES = """
insert into nodes select * from source.nodes where level = ? and number >= ? order by number
"""
