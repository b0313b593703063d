"""
The views made anew: every record, compared with the tree, goes through the projector again.

Views say which program made them (`views_made`; `user_version` is taken by the mark of a backup).
One that would make others makes them anew as it opens the folder: after an update that adds a
column, or that can read what was unread before. Of several processes one does it, the others wait.
"""

import fcntl
import hashlib
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

import sqlite_utils

from twoturns.ledger.bodies import EDITION
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.record import Record, parse
from twoturns.ledger.roster import ROSTER_KINDS, Roster
from twoturns.store import projector
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blobs import Blobs
from twoturns.store.book import size_of
from twoturns.store.check import checked_records, in_pieces
from twoturns.store.cores import on_all_cores
from twoturns.store.database import Connection, Database, run_script
from twoturns.store.errors import WorkshopShut
from twoturns.store.stored import damaged

Progress = Callable[[int, int], None]  # records that are done, of how many

RULES: Final = 4  # to be counted up when the projector makes other rows in the same columns
STEP: Final = 1_000


def version() -> str:
    """Return the name of the views that this program makes."""
    said = f"{EDITION} {RULES} {projector.SCHEMA}"
    return hashlib.sha256(said.encode()).hexdigest()[:16]


def sign_views(db: sqlite_utils.Database) -> None:
    """Note that the views are this program's. Part of the transaction that made them."""
    made = db.create_table("views_made", {"version": str}, not_null=["version"], replace=True)
    made.insert({"version": version()})


def are_current(database: Database) -> bool:
    """Say whether the views are those that this program makes."""
    if not database.has_table("views_made"):
        return False
    return database.row("select 1 from views_made where version = ?", [version()]) is not None


def renew_views(
    database: Database, lock: Path, workshop: str, blobs: Blobs, progress: Progress
) -> None:
    """
    Make the views anew where another program made them; else change nothing.

    Raises:
        Damaged: If a record does not match the tree. Nothing is changed then.
        WorkshopShut: If the folder may not be written.
    """
    if are_current(database):
        return
    with _alone(lock):
        if not are_current(database):  # another process may have done it while we waited
            facts = BlobFacts.of_all(blobs, database)
            with database.write() as db:
                rebuild_views(db, workshop, facts, progress)


def rebuild_views(
    db: Connection, workshop: str, facts: BlobFacts, progress: Progress = lambda *_: None
) -> None:
    """
    Drop every view and compute it anew, inside the caller's transaction.

    Raises:
        Damaged: If a record does not match the tree.
    """
    for table in projector.TABLES:
        # Not by the library: its `drop` that may find no table also passes over a full disk.
        db.execute(f"drop table if exists {table}")
    run_script(db, projector.SCHEMA)
    size, roster = size_of(db), _roster_at_the_end(db, workshop)
    for piece in on_all_cores(_read, in_pieces(checked_records(db))):
        # As many at once as phones send in some batches: what is remembered of them has an end.
        views = projector.Projector(db, roster, facts)
        views.expect([record.entry.id for _, record in piece if record is not None])
        for index, record in piece:
            if index % STEP == 0:
                progress(index, size)
            if record is None:
                raise damaged(index)
            views.apply(index, record)
        views.finish()
    sign_views(db)


@contextmanager
def _alone(lock: Path) -> Iterator[None]:
    """
    Wait for one's turn, however long another takes. SQLite's own wait has an end; and its file is
    not to be opened beside it, as closing that would drop its locks.
    """
    try:
        with lock.open("w") as file:
            fcntl.flock(file, fcntl.LOCK_EX)
            yield
    except PermissionError as error:
        raise WorkshopShut(str(error)) from error


def _roster_at_the_end(db: sqlite_utils.Database, workshop: str) -> Roster:
    """
    Return the roster after all records: a recovery is known of from the first of them on.

    Rights go by places in the ledger, so what a stolen key stated takes no effect at all.
    """
    roster = Roster(workshop)
    for index, text in db.execute('select "index", record from records order by "index"'):
        if _OF_THE_ROSTER.search(text):
            with suppress(LedgerError):  # a damaged one is named when its turn comes
                roster.apply(index, parse(text).entry)
    return roster


def _read(piece: list[tuple[int, str]]) -> list[tuple[int, Record | None]]:
    """Read records, wherever: None for one that cannot be read."""
    return [(index, _record(text)) for index, text in piece]


def _record(text: str) -> Record | None:
    try:
        return parse(text)
    except LedgerError:
        return None


_OF_THE_ROSTER = re.compile(f'"kind":"(?:{"|".join(map(re.escape, ROSTER_KINDS))})"')
