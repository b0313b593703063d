"""The views made anew: every record, compared with the tree, goes through the projector again."""

import sqlite_utils

from twoturns.ledger.record import parse
from twoturns.ledger.roster import Roster
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
    views = projector.Projector(db, Roster(workshop), blobs)
    for index, text in checked_records(db):
        views.apply(index, parse(text))
