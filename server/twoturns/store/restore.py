"""
A workshop put back from a backup: into a new folder, everything checked, nothing overwritten.

The folder has its ledger last, under its name only when all else is there, and marked as a
backup's: its first write says for ever that it was put back, and from how many records, and numbers
the workshop's statements anew (`Book.go_on_above`). Phones then bring what it lacks.
"""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from twoturns.store import book, contacts, files, ledger_url, sessions
from twoturns.store.blob_checks import Checks
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blob_folder import BlobFolder
from twoturns.store.blobs import Blobs
from twoturns.store.check import check_signatures, checked_records
from twoturns.store.database import Database
from twoturns.store.errors import Damaged, StoreError
from twoturns.store.generations import (
    FRESH,
    BackupFolder,
    Generation,
    read_ledger,
    workshop_of,
)
from twoturns.store.ledger_copy import add_rows, write_ledger
from twoturns.store.photos_at import make_photos
from twoturns.store.port import Connection, run_script
from twoturns.store.port import Database as AnyDatabase
from twoturns.store.rebuild import rebuild_views
from twoturns.store.store import new_folder
from twoturns.store.stored import stored
from twoturns.store.views import Views
from twoturns.store.working_files import copy_working_files
from twoturns.words import t
from twoturns.words.en.store import restore as words


@dataclass(frozen=True)
class Restored:
    """
    How many records were put back, when the last of them was received, which blobs the ledger keeps
    that the backup has not, or not whole, how many working files came with it, and of how many
    devices it knows when they signed in last.
    """

    size: int
    received: str
    missing: tuple[str, ...]
    working: int
    contacts: int


@files.full_disk_is_told
def restore(
    backup: Path,
    folder: Path,
    size: int | None = None,
    *,
    ledger: str | None = None,
    photos: str | None = None,
) -> Restored:
    """
    Put a workshop back from a backup folder, without its key.

    Args:
        backup: The backup folder; nothing in it is changed.
        folder: Where to; new or empty.
        size: Which generation, by its number of records; None: the newest.
        ledger: Where the ledger shall lie (`ledger_url`); None: as the environment says.
        photos: Where the photos are to be (`photos_at`); None: in the folder.

    Raises:
        NotAWorkshop: If the folder is not empty.
        StoreError: `no-backup`, if there is no such generation.
        Damaged: If a record of the generation is not what it was. Take another one then.
        WorkshopFull: If the disk has no room.
    """
    one = _choose(backup, size)
    new_folder(folder)
    ledger_of_it = ledger_url.begin(folder, ledger)
    fresh = folder / FRESH
    write_ledger(one.path, fresh)
    with read_ledger(fresh) as db:
        workshop = workshop_of(db)
        blobs = make_photos(folder, photos, workshop)
        check_signatures(checked_records(db), workshop)
        kept = BlobFolder(backup / "blobs")
        for blob in _named(checked_records(db)):
            with suppress(FileNotFoundError), kept.open(blob) as source:
                blobs.bring(source, blob)
    working = copy_working_files(one.working, folder)
    signed_in = contacts.read_file(one.working / contacts.FILE) or {}
    made = _with_views(fresh, workshop, blobs, ledger_of_it, signed_in)
    restored = Restored(*made, working, len(signed_in))
    if ledger_of_it.file is not None:
        files.move_into_place(fresh, ledger_of_it.file)
    _note_missing(folder, ledger, restored.missing)
    return restored


def _note_missing(folder: Path, ledger: str | None, blobs: Sequence[str]) -> None:
    """Have the desk name what is missing, and phones that may have it asked, from the beginning."""
    if not blobs:
        return
    database = ledger_url.open_ledger(folder, ledger)
    checks = Checks.beside(folder, database, lambda: ledger_url.open_ledger(folder, ledger))
    for blob in blobs:
        checks.note(blob, "missing")
    checks.let_go()
    database.close()


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


def _with_views(
    fresh: Path, workshop: str, blobs: Blobs, ledger: AnyDatabase, signed_in: Mapping[str, str]
) -> tuple[int, str, tuple[str, ...]]:
    """
    Compute the views of a ledger, carry out its erasures, and return its size, when its newest
    record was received, and the blobs that it lacks. Where the ledger is to lie on a server it is
    put there, all of it in one transaction.
    """
    copy = Database(fresh)
    database = copy if ledger.file is not None else ledger
    facts = BlobFacts.of_all(blobs, copy)
    with database.write(is_long=True) as db:
        if database is not copy:
            ledger_url.require_unclaimed(database)
            _put_records(copy, db)
        run_script(db, sessions.SCHEMA)
        for device, at in signed_in.items():
            contacts.note(db, device, at)
        rebuild_views(db, workshop, facts)
    copy.close()  # the last one to close it leaves no log beside the file
    if database is not copy:
        fresh.unlink()
    views = Views(database)
    for blob in filter(blobs.has, views.erased()):
        blobs.erase(blob)
    missing = tuple(blobs.lacking(views.kept()))
    last = database.row("select count(*) as size, max(received) as received from entries")
    assert last is not None  # noqa: S101 - an aggregate always has a row
    database.close()
    return last["size"], last["received"], missing


def _put_records(copy: Database, db: Connection) -> None:
    run_script(db, book.SCHEMA)
    with copy.read() as there:
        add_rows(there, db, 0)
    db.mark("backup", True)
