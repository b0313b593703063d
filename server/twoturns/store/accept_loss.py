"""
Going on, knowingly, with a ledger that has lost its newest records.

It is treated as one that was put back from a backup: its first write says so for ever and numbers
the workshop's statements anew, and phones bring what it lacks.
"""

from pathlib import Path

from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blobs import Blobs
from twoturns.store.check import check_signatures, checked_records
from twoturns.store.database import Database, mark_as_backup
from twoturns.store.errors import RecordsLost, StoreError
from twoturns.store.generations import workshop_of
from twoturns.store.newest_checkpoint import Newest, mark_as_guarded
from twoturns.store.rebuild import rebuild_views
from twoturns.store.store import DATABASE_FILE, Store
from twoturns.words import t
from twoturns.words.en.store import accept_loss as words


def accept(folder: Path) -> int:
    """
    Mark a folder whose ledger is smaller than it was as put back; return the records it has.

    Raises:
        StoreError: `nothing-lost`, if it can be opened as it is.
        Damaged: If what is left is not whole: then a backup must be restored.
    """
    try:
        Store(folder, needs_key=False)
    except RecordsLost:
        pass
    else:
        raise StoreError(
            t(words.NOTHING_LOST, folder=str(folder)),
            code="nothing-lost",
            hint=t(words.NOTHING_LOST_HINT),
        )
    database = Database(folder / DATABASE_FILE)
    with database.read() as db:
        workshop = workshop_of(db)
        size = check_signatures(checked_records(db), workshop)
    Newest(folder).set_aside()
    facts = BlobFacts.of_all(Blobs(folder / "blobs"), database)
    with database.write() as db:
        rebuild_views(db, workshop, facts)
        mark_as_backup(db, True)
        mark_as_guarded(db, False)
    database.close()
    return size
