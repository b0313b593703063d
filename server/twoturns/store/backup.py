"""
A backup: one folder that holds the database as it was at one moment, and every blob it speaks of.

It is a data folder like the first, without the workshop's key, the sessions and the halves of
uploads; to restore, put the key file into it and serve it. Phones free their photos on the word
of a backup, so every blob in it is read through and compared with its name, each time.
"""

import hashlib
import os
import secrets
import sqlite3
from datetime import datetime
from pathlib import Path

import sqlite_utils

from twoturns.store import files
from twoturns.store.blobs import PIECE_BYTES, Blobs
from twoturns.store.book import size_of
from twoturns.store.database import mark_as_backup
from twoturns.store.errors import Damaged, StoreError
from twoturns.store.store import DATABASE_FILE, Store


@files.full_disk_is_told
def back_up(store: Store, target: Path, now: datetime) -> int:
    """
    Bring a backup folder up to date, then state in the ledger what it covers: that many records.

    Raises:
        StoreError: `bad-backup-place`, if the folder is inside the data folder.
        Damaged: If a blob is missing, or its bytes are not its own. Nothing is stated then.
        WorkshopFull: If the disk of the backup is full.
    """
    if target.resolve().is_relative_to(store.folder.resolve()):
        raise StoreError(
            f"{target} is inside the data folder",
            code="bad-backup-place",
            hint="Name a folder on another disk: one that fails must not take both.",
        )
    blobs = _prepare(target)
    fresh = target / f"{DATABASE_FILE}.new"
    size, kept, erased = _copy_database(store, fresh)
    for blob in kept:
        _copy_blob(store.blobs, blobs, blob)
    for blob in erased:
        blobs.erase(blob)
    # The database last: until here the folder is the whole backup it was before.
    files.move_into_place(fresh, target / DATABASE_FILE)
    store.ledger.state("backup.made", {"size": size}, now)
    return size


def _prepare(target: Path) -> Blobs:
    target.mkdir(parents=True, exist_ok=True)
    target.chmod(0o700)
    (target / "uploads").mkdir(exist_ok=True)
    folder = target / "blobs"
    return Blobs(folder) if folder.is_dir() else Blobs.create(folder)


def _copy_database(store: Store, fresh: Path) -> tuple[int, list[str], list[str]]:
    """Copy the database; return its records' number, and the blobs it keeps and has erased."""
    fresh.unlink(missing_ok=True)
    with sqlite3.connect(fresh) as connection:
        store.database.connection().conn.backup(connection)
        connection.execute("delete from sessions")
        connection.execute("delete from nonces")
    copy = sqlite_utils.Database(connection)
    mark_as_backup(copy, True)
    # One file without a log beside it, which a copy of the folder would have to take along.
    connection.execute("PRAGMA journal_mode=DELETE")
    size = size_of(copy)
    erased = [row[0] for row in connection.execute("select blob from erased")]
    kept = [
        row[0]
        for row in connection.execute(
            "select blob from kept where blob not in (select blob from erased) order by blob"
        )
    ]
    connection.close()
    with fresh.open("rb") as file:
        os.fsync(file.fileno())
    return size, kept, erased


def _copy_blob(here: Blobs, there: Blobs, blob: str) -> None:
    """Have a blob there, its bytes checked as they are read."""
    if there.has(blob) and there.is_whole(blob):
        return
    temporary = there.temporary / secrets.token_hex(16)
    digest = hashlib.sha256()
    try:
        with here.open(blob) as source, temporary.open("xb") as copy:
            while piece := source.read(PIECE_BYTES):
                digest.update(piece)
                copy.write(piece)
            copy.flush()
            os.fsync(copy.fileno())
        found = digest.hexdigest()
    except FileNotFoundError:
        found = None
    if found != blob:
        temporary.unlink(missing_ok=True)
        raise Damaged(
            f"blob {blob} is missing or its bytes are not its own",
            hint="The disk may be failing. Put the blob back from an older backup, or let the "
            "phone that took it send it again, before anything is freed.",
        )
    there.adopt(temporary, blob)
