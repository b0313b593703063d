"""
The views made anew: every record, compared with the tree, goes through the projector again.

Views say which program made them (`views_made`; `user_version` is taken by the mark of a backup).
One that would make others makes them anew as it opens the folder: after an update that adds a
column, or that can read what was unread before. Of several processes one does it, the others wait.
"""

import hashlib
import re
from collections.abc import Callable
from contextlib import suppress
from typing import Final

from twoturns.ledger.bodies import EDITION
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.record import Record, parse
from twoturns.ledger.roster import ROSTER_KINDS, Roster
from twoturns.store import book, projector
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blobs import Blobs
from twoturns.store.check import checked_records, in_pieces
from twoturns.store.cores import on_all_cores
from twoturns.store.ids import Ids
from twoturns.store.port import Connection, Database, run_script
from twoturns.store.stored import damaged

Progress = Callable[[int, int], None]  # records that are done, of how many

RULES: Final = 9  # to be counted up when the projector makes other rows in the same columns
STEP: Final = 1_000
VIEWS_MADE: Final = "create table if not exists views_made (version text not null) strict"


def version() -> str:
    """Return the name of the views that this program makes."""
    said = f"{EDITION} {RULES} {projector.SCHEMA}"
    return hashlib.sha256(said.encode()).hexdigest()[:16]


def sign_views(db: Connection) -> None:
    """Note that the views are this program's. Part of the transaction that made them."""
    db.execute(VIEWS_MADE)
    db.execute("delete from views_made")
    db.execute("insert into views_made values (?)", [version()])


def are_current(database: Database) -> bool:
    """Say whether the views are those that this program makes."""
    if not database.has_table("views_made"):
        return False
    return database.row("select 1 from views_made where version = ?", [version()]) is not None


def renew_views(database: Database, workshop: str, blobs: Blobs, progress: Progress) -> None:
    """
    Make the views anew where another program made them; else change nothing.

    Raises:
        Damaged: If a record does not match the tree. Nothing is changed then.
        WorkshopShut: If the folder may not be written.
    """
    if are_current(database):
        return
    with database.alone():
        if not are_current(database):  # another process may have done it while we waited
            facts = BlobFacts.of_all(blobs, database)
            with database.write(is_long=True) as db:
                rebuild_views(db, workshop, facts, progress)


def rebuild_views(
    db: Connection, workshop: str, facts: BlobFacts, progress: Progress = lambda *_: None
) -> None:
    """
    Drop every view and compute it anew, inside the caller's transaction.

    Raises:
        Damaged: If a record does not match the tree.
    """
    _renew_records(db)
    for table in ("views_made", *projector.TABLES):  # first what readers hold, on a server
        # Not by the library: its `drop` that may find no table also passes over a full disk.
        db.execute(f"drop table if exists {table}")
    run_script(db, projector.SCHEMA)
    size, roster, ids = book.size_of(db), _roster_at_the_end(db, workshop), Ids()
    for piece in on_all_cores(_read, in_pieces(checked_records(db))):
        # As many at once as phones send in some batches: what is remembered of them has an end.
        views = projector.Projector(db, roster, facts, ids)
        views.expect([record.entry.id for _, record in piece if record is not None])
        for index, record in piece:
            if index % STEP == 0:
                progress(index, size)
            if record is None:
                raise damaged(index)
            views.apply(index, record)
        views.finish()
    sign_views(db)


def _renew_records(db: Connection) -> None:
    """
    Put the records into a table without an index of ids, which earlier programs had: see `ids`.

    Nothing that is erased stands in them, so what is given up need not be overwritten.
    """
    if not db.is_embedded:
        return
    if db.execute("select 1 from pragma_index_list('records')").fetchone() is None:
        return
    db.execute("PRAGMA secure_delete=OFF")
    try:
        db.execute("alter table records rename to former_records")
        run_script(db, book.SCHEMA)
        db.execute("insert into records select * from former_records order by 1")
        db.execute("drop table former_records")
    finally:
        db.execute("PRAGMA secure_delete=ON")


def _roster_at_the_end(db: Connection, workshop: str) -> Roster:
    """
    Return the roster after all records: a recovery is known of from the first of them on.

    Rights go by places in the ledger, so what a stolen key stated takes no effect at all.
    """
    roster = Roster(workshop)
    for index, text in db.each('select "index", record from records order by "index"'):
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
