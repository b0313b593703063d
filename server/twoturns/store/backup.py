"""
A backup: a folder on another disk with the ledger as it was at some moments, its blobs, and beside
each ledger the drafts and `house.yaml` of its time.

Phones free their photos on the word of a backup, and a backup is what is left when the folder is
not. So nothing in it is replaced before it is sure that what comes is of the same workshop, not
smaller, grown from what the backup has, and unchanged; and `backup.made` is stated only when all
that this run wrote was read back from the disk. (What earlier runs wrote is read by a scrub, with
`reads_all`, and after a run that was cut off.) When devices signed in last goes along. The
workshop's key, the sessions, what devices may still send and the halves of uploads do not; nor does
what is known of blobs that were read through (`blob_checks`): it is about the bytes of that disk,
and a restore reads each blob as it puts it back.
"""

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from itertools import chain
from pathlib import Path

from twoturns.ledger.tree import Tree
from twoturns.store import contacts, files
from twoturns.store.blob_folder import BlobFolder
from twoturns.store.blobs import Blobs, copied_sha256, file_sha256
from twoturns.store.book import Nodes, size_of
from twoturns.store.check import check_signatures, checked_records
from twoturns.store.errors import BackupFull, Damaged, StoreError, WorkshopFull
from twoturns.store.generations import (
    CHECKED,
    FRESH,
    LOCK,
    OLD_FORM,
    BackupFolder,
    Checked,
    Generation,
    read_back,
    read_ledger,
    whole_tree,
)
from twoturns.store.keyring import KEY_FILE
from twoturns.store.ledger_copy import write_grown, write_ledger
from twoturns.store.port import Connection
from twoturns.store.store import Store
from twoturns.store.working_files import replace_working_files
from twoturns.words import t
from twoturns.words.en.store import backup as words

GENERATIONS = 3
_OURS = ("blobs", "uploads", "ledger", CHECKED, LOCK)  # how the names in a backup folder begin


@dataclass(frozen=True)
class Backup:
    """
    How many records a backup covers, which older ledgers in its folder are damaged, and which
    working files of the workshop could not be read: of them it has the copy of the backup before.
    """

    size: int
    damaged: tuple[Path, ...]
    unread: tuple[Path, ...]


def back_up(
    store: Store,
    target: Path,
    now: datetime,
    *,
    generations: int = GENERATIONS,
    reads_all: bool = False,
) -> Backup:
    """
    Add a generation to a backup folder, then state in the ledger what it covers.

    Args:
        store: The workshop.
        target: The folder; it is made if it is not there.
        now: The time, UTC.
        generations: How many ledgers stay in the folder, this one counted.
        reads_all: Read every blob that is there already, and copy anew what is damaged.

    Raises:
        StoreError: `bad-backup-place`, `backup-busy`, `backup-differs`, `backup-larger`.
        Damaged: If a record or a blob is not what it was. Nothing is replaced or stated then.
        BackupFull: If the disk of the backup is full.
    """
    try:
        backup = _add_generation(store, target, generations, reads_all=reads_all)
    except WorkshopFull as error:
        raise BackupFull(target) from error
    store.ledger.state("backup.made", {"size": backup.size}, now)
    return backup


@files.full_disk_is_told
def _add_generation(store: Store, target: Path, generations: int, *, reads_all: bool) -> Backup:
    folder = _open(store, target)
    with folder.locked(), _removed_at_the_end(target / FRESH) as fresh:
        before, damaged = _grown(store, folder, fresh), list[Path]()
        start = 0 if before is None else before.size
        if before is None:
            before, damaged = _newest_whole(folder)
            write_ledger(store.database, fresh)
        sha256 = read_back(fresh)
        with read_ledger(fresh) as db:
            tree = _check(db, store, folder, start)
            _require_growth(tree, store.ledger.workshop, folder, before)
            said = Checked(tree.size, tree.root(), sha256)
        # Where a run was cut off, a disk may not hold what it said it held: its word is not taken.
        is_unfinished = folder.begin_blobs()
        _have_blobs(store, folder.blobs, reads_all=reads_all or is_unfinished)
        folder.end_blobs()
        _keep_old_form(folder, before)
        made = Generation(folder.place(said.size), said.size)
        # The ledger is evidence and the photos wait for it: a file to work with never stops it.
        kept = next((one.working for one in folder.generations()), None)
        signed_in = contacts.as_file(store.database)
        beside = {} if signed_in is None else {contacts.FILE: signed_in}
        unread = replace_working_files(store.folder, made.working, kept, beside)
        files.move_into_place(fresh, made.path)
        folder.note_checked(store.ledger.sign(said.text(store.ledger.workshop)))
        # Here the new generation stands: now may go what is over.
        folder.prune(generations)
        for blob in filter(folder.blobs.has, store.views.erased()):
            folder.blobs.erase(blob)
    return Backup(said.size, tuple(damaged), tuple(unread))


def _grown(store: Store, folder: BackupFolder, fresh: Path) -> Generation | None:
    """
    Write the ledger as it grew from the newest generation, if that is the one which a backup before
    has checked, to the byte, and the ledger begins with it to the byte. Else return None: what is
    otherwise is found by looking at all of it.
    """
    newest = next(iter(folder.generations()), None)
    said = folder.checked_file(store.ledger.key, store.ledger.workshop)
    if newest is None or said is None or said.size != newest.size:
        return None
    is_grown = write_grown(store.database, newest.path, said.sha256, fresh)
    return newest if is_grown else None


@contextmanager
def _removed_at_the_end(path: Path) -> Iterator[Path]:
    """Give a temporary file's path; a refused copy would take the room of the next one."""
    try:
        yield path
    finally:
        path.unlink(missing_ok=True)


def _open(store: Store, target: Path) -> BackupFolder:
    """Make the folder, or refuse one that holds anything but a backup."""
    names = [each.name for each in target.iterdir()] if target.is_dir() else []
    if target.resolve().is_relative_to(store.folder.resolve()):
        raise _bad_place(
            t(words.INSIDE_DATA, target=str(target)),
            t(words.INSIDE_DATA_HINT),
        )
    if KEY_FILE in names:
        raise _bad_place(
            t(words.IS_WORKSHOP_FOLDER, target=str(target), key_file=KEY_FILE),
            t(words.IS_WORKSHOP_FOLDER_HINT),
        )
    if not all(name.startswith(_OURS) for name in names) or not _is_backup(target):
        raise _bad_place(
            t(words.NOT_A_BACKUP, target=str(target)),
            t(words.NOT_A_BACKUP_HINT),
        )
    target.mkdir(parents=True, exist_ok=True)
    target.chmod(0o700)
    folder = BackupFolder(target)
    BlobFolder.create(folder.blobs.folder)
    files.sync_folder(target)
    return folder


def _is_backup(target: Path) -> bool:
    """Say whether a ledger in the folder, if there is one, is a backup's and not a workshop's."""
    old = target / OLD_FORM
    if not old.is_file():
        return True
    if old.with_name(f"{OLD_FORM}-wal").exists():
        return False  # a server has it, or had it
    try:
        with read_ledger(old) as db:
            return db.is_marked("backup")
    except Damaged:
        return False


def _bad_place(fact: str, hint: str) -> StoreError:
    return StoreError(fact, code="bad-backup-place", hint=hint)


def _newest_whole(folder: BackupFolder) -> tuple[Generation | None, list[Path]]:
    """Return the newest generation that is whole, and the newer ones that are not."""
    damaged: list[Path] = []
    for one in folder.generations():
        try:
            with read_ledger(one.path) as db:
                return Generation(one.path, whole_tree(db).size), damaged
        except Damaged:
            damaged.append(one.path)
    return None, damaged


def _check(db: Connection, store: Store, folder: BackupFolder, start: int) -> Tree:
    """
    Read the copy back: records from an index on against the tree, signatures from the last good
    point on. What stands below `start` was compared, to the byte, with what was checked before.
    """
    workshop, tree = store.ledger.workshop, Tree(Nodes(db), size_of(db))
    good = folder.checked_up_to(tree, store.ledger.key, workshop)
    if good < start:
        start = 0
    check_signatures(
        chain(_key_bringers(store, db, start), checked_records(db, start)), workshop, good
    )
    return tree


def _key_bringers(store: Store, db: Connection, end: int) -> Iterator[tuple[int, str]]:
    """
    Yield the records below an index that may bring a key. Where they are the workshop's views say:
    one that they leave out makes a signature of later on one of nobody's.
    """
    for index in store.views.key_bringers(end):
        yield db.execute(
            'select "index", record from records where "index" = ?', [index]
        ).fetchone()


def _require_growth(
    tree: Tree, workshop: str, folder: BackupFolder, before: Generation | None
) -> None:
    """Refuse a ledger that is not what the backup has, and more."""
    whose = folder.workshop()
    if whose not in (workshop, None):
        raise StoreError(
            t(words.OTHER_WORKSHOP, folder=str(folder.folder), whose=whose),
            code="backup-differs",
            hint=_ANOTHER_FOLDER,
        )
    largest = max((one.size for one in (*folder.generations(), before) if one), default=0)
    if largest > tree.size:
        raise StoreError(
            t(words.BACKUP_IS_NEWER, folder=str(folder.folder), largest=largest, size=tree.size),
            code="backup-larger",
            hint=t(words.BACKUP_IS_NEWER_HINT, another_folder=_ANOTHER_FOLDER),
        )
    if before is not None and _root(before) != tree.root(before.size):
        raise StoreError(
            t(words.RECORDS_DIFFER, size=before.size, folder=str(folder.folder)),
            code="backup-differs",
            hint=t(words.RECORDS_DIFFER_HINT, another_folder=_ANOTHER_FOLDER),
        )


def _root(generation: Generation) -> bytes:
    with read_ledger(generation.path) as db:
        return Tree(Nodes(db), generation.size).root()


def _keep_old_form(folder: BackupFolder, before: Generation | None) -> None:
    """Give a ledger of the old form a place among the generations, without its views."""
    old = folder.folder / OLD_FORM
    if before is not None and before.path == old:
        fresh = folder.folder / f"{FRESH}.old"
        write_ledger(old, fresh)
        files.move_into_place(fresh, folder.place(before.size))
        old.unlink()


# Blobs.


def _have_blobs(store: Store, there: BlobFolder, *, reads_all: bool) -> None:
    """Have every blob there that the workshop keeps."""
    for blob, size in store.views.kept_sizes():
        if _is_there(size, there, blob) and not (reads_all and not there.is_whole(blob)):
            continue
        if not copy_blob(store.blobs, there, blob) and not store.views.is_erased(blob):
            raise Damaged(
                t(words.BLOB_UNSOUND, blob=blob),
                hint=t(words.BLOB_UNSOUND_HINT),
            )


def _is_there(size: int, blobs: BlobFolder, blob: str) -> bool:
    try:
        return blobs.path(blob).stat().st_size == size
    except FileNotFoundError:
        return False


def copy_blob(here: Blobs, there: BlobFolder, blob: str) -> bool:
    """Have a blob there, read back from the disk; False if it is missing here, or not whole."""
    temporary = there.temporary / secrets.token_hex(16)
    try:
        with here.open(blob) as source, temporary.open("xb") as copy:
            hashed = copied_sha256(source, partial(files.write_all, copy.fileno()))
            os.fsync(copy.fileno())
        if hashed != blob:
            return False
        files.forget_cached(temporary)
        with temporary.open("rb") as copy:
            if file_sha256(copy) != blob:
                raise Damaged(
                    t(words.COPY_READS_OTHERWISE, blob=blob, folder=str(there.folder)),
                    hint=t(words.COPY_READS_OTHERWISE_HINT),
                )
        # Rotten bytes that lie there are no evidence: this is a copy, and the original is whole.
        files.move_into_place(temporary, there.path(blob))
    except FileNotFoundError:
        return False
    finally:
        temporary.unlink(missing_ok=True)
    return True


_ANOTHER_FOLDER = t(words.KEEP_BOTH)
