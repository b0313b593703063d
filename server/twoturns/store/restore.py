"""
A workshop put back from a backup: into a new folder, everything checked, nothing overwritten.

The folder has its ledger last, under its name only when all else is there, and marked as a
backup's: its first write says for ever that it was put back, and from how many records, and numbers
the workshop's statements anew (`Book.go_on_above`). Phones then bring what it lacks.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from twoturns.store import files, sessions
from twoturns.store.backup import copy_blob
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blobs import Blobs
from twoturns.store.check import check_signatures, checked_records
from twoturns.store.database import Database, run_script
from twoturns.store.errors import Damaged, StoreError
from twoturns.store.generations import (
    FRESH,
    BackupFolder,
    Generation,
    read_ledger,
    workshop_of,
    write_ledger,
)
from twoturns.store.rebuild import rebuild_views
from twoturns.store.store import DATABASE_FILE, new_folder
from twoturns.store.stored import stored
from twoturns.store.views import Views
from twoturns.words import t
from twoturns.words.en.store import restore as words


@dataclass(frozen=True)
class Restored:
    """
    How many records were put back, when the last of them was received (`at`), and which blobs the
    ledger keeps that the backup has not, or not whole.
    """

    size: int
    received: str
    missing: tuple[str, ...]


@files.full_disk_is_told
def restore(backup: Path, folder: Path, size: int | None = None) -> Restored:
    """
    Put a workshop back from a backup folder, without its key.

    Args:
        backup: The backup folder; nothing in it is changed.
        folder: Where to; new or empty.
        size: Which generation, by its number of records; None: the newest.

    Raises:
        NotAWorkshop: If the folder is not empty.
        StoreError: `no-backup`, if there is no such generation.
        Damaged: If a record of the generation is not what it was. Take another one then.
        WorkshopFull: If the disk has no room.
    """
    one = _choose(backup, size)
    new_folder(folder)
    fresh = folder / FRESH
    write_ledger(one.path, fresh)
    blobs = Blobs.create(folder / "blobs")
    (folder / "uploads").mkdir()
    with read_ledger(fresh) as db:
        workshop = workshop_of(db)
        check_signatures(checked_records(db), workshop)
        for blob in _named(checked_records(db)):
            copy_blob(Blobs(backup / "blobs"), blobs, blob)
    restored = _with_views(fresh, workshop, blobs)
    files.move_into_place(fresh, folder / DATABASE_FILE)
    return restored


def sizes_in(backup: Path) -> list[int]:
    """Return the sizes that a backup's generations have, the newest first."""
    return [one.size or _count(one) for one in BackupFolder(backup).generations()]


def _choose(backup: Path, size: int | None) -> Generation:
    """Return a generation that is whole as far as its tree goes, or say which there are."""
    found = BackupFolder(backup).generations()
    for one in found:
        if size in (None, one.size or _count(one)):
            return one
    listed = ", ".join(map(str, sizes_in(backup))) or "none"
    which = t(words.NO_LEDGER) if size is None else t(words.NO_LEDGER_OF_SIZE, size=size)
    raise StoreError(
        f"{backup} holds {which}",
        code="no-backup",
        hint=t(words.NO_LEDGER_HINT, listed=listed),
    )


def _count(one: Generation) -> int:
    """Return the size of a generation of the old form, whose name does not say it."""
    try:
        with read_ledger(one.path) as db:
            return int(db.execute("select count(*) from records").fetchone()[0])
    except Damaged:
        return 0


def _named(records: Iterator[tuple[int, str]]) -> Iterator[str]:
    """Yield the blobs that the workshop ever said it keeps."""
    for index, text in records:
        if '"kind":"blob.kept"' in text:
            said = stored(index, text).entry
            if said.kind == "blob.kept":
                yield from (kept["blob"] for kept in said.body["blobs"])


def _with_views(fresh: Path, workshop: str, blobs: Blobs) -> Restored:
    """Compute the views of a ledger, carry out its erasures, and say what it lacks."""
    database = Database(fresh)
    facts = BlobFacts.of_all(blobs, database)
    with database.write() as db:
        run_script(db, sessions.SCHEMA)
        rebuild_views(db, workshop, facts)
    views = Views(database)
    for blob in filter(blobs.has, views.erased()):
        blobs.erase(blob)
    missing = tuple(blob for blob in views.kept() if not blobs.has(blob))
    last = database.row("select count(*) as size, max(received) as received from entries")
    assert last is not None  # noqa: S101 - an aggregate always has a row
    database.close()  # the last one to close it leaves no log beside the file
    return Restored(last["size"], last["received"], missing)
