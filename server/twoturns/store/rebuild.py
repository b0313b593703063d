"""The views made anew: every record, compared with the tree, goes through the projector again."""

from contextlib import suppress

import sqlite_utils

from twoturns.ledger.errors import LedgerError
from twoturns.ledger.record import parse
from twoturns.ledger.roster import ROSTER_KINDS, Roster
from twoturns.store import projector
from twoturns.store.blobs import Blobs
from twoturns.store.check import checked_records
from twoturns.store.database import run_script


def rebuild_views(db: sqlite_utils.Database, workshop: str, blobs: Blobs) -> None:
    """
    Drop every view and compute it anew, inside the caller's transaction.

    Raises:
        Damaged: If a record does not match the tree.
    """
    for table in projector.TABLES:
        db.execute(f"drop table if exists {table}")
    run_script(db, projector.SCHEMA)
    views = projector.Projector(db, _roster_at_the_end(db, workshop), blobs)
    for index, text in checked_records(db):
        views.apply(index, parse(text))


def _roster_at_the_end(db: sqlite_utils.Database, workshop: str) -> Roster:
    """
    Return the roster after all records: a recovery is known of from the first of them on.

    Rights go by places in the ledger, so what a stolen key stated takes no effect at all.
    """
    roster = Roster(workshop)
    for index, text in db.execute('select "index", record from records order by "index"'):
        if any(f'"kind":"{kind}"' in text for kind in ROSTER_KINDS):
            with suppress(LedgerError):  # a damaged one is named when its turn comes
                roster.apply(index, parse(text).entry)
    return roster
