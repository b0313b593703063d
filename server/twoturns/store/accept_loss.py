"""
Going on, knowingly, with a ledger that has lost its newest records.

It is treated as one that was put back from a backup: its first write says so for ever and numbers
the workshop's statements anew, and phones bring what it lacks.
"""

from pathlib import Path

from twoturns.store.blob_facts import BlobFacts
from twoturns.store.check import check_signatures, checked_records
from twoturns.store.errors import RecordsLost, StoreError
from twoturns.store.generations import workshop_of
from twoturns.store.ledger_url import open_ledger
from twoturns.store.newest_checkpoint import Newest
from twoturns.store.photos_at import open_photos
from twoturns.store.rebuild import rebuild_views
from twoturns.store.store import FLOOR_BYTES, Store
from twoturns.words import t
from twoturns.words.en.store import accept_loss as words


def accept(folder: Path) -> int:
    """
    Mark a folder whose ledger is smaller than it was as put back; return the records it has.

    Raises:
        StoreError: `nothing-lost`, if it can be opened as it is.
        Damaged: If what is left is not whole: then a backup must be restored.
        PhotosAway: If the store of the photos does not answer. Nothing is changed then.
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
    database = open_ledger(folder)
    with database.read() as db:
        workshop = workshop_of(db)
        size = check_signatures(checked_records(db), workshop)
    blobs, _ = open_photos(folder, None, FLOOR_BYTES, workshop)
    facts = BlobFacts.of_all(blobs, database)
    Newest(folder).set_aside()
    with database.write(is_long=True) as db:
        rebuild_views(db, workshop, facts)
        db.mark("backup", True)
        db.mark("guarded", False)
    database.close()
    return size
