"""
A workshop moved: its ledger to another engine, its photos to another place, and back.

What is at the old place stays there as it is, and the folder names the new one only once all is
there and was compared: whatever breaks off a move, the workshop is where it was, and the same move
goes on from what is there already. Nobody else may have the workshop open meanwhile (`open.lock`):
what they wrote would stay behind.

Another machine may serve it by a folder of its own. So of a ledger on a server the move holds the
workshop's one write transaction from its beginning to its end, in which nobody else can write; in
that it notes where the workshop went (`moves`), and whoever comes afterwards is refused there. Only
then the folder says so: broken off in between, the same move is given once more.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import islice
from pathlib import Path
from typing import Final

from twoturns.ledger.tree import Tree
from twoturns.store import (
    allowances,
    book,
    contacts,
    files,
    ledger_url,
    moves,
    photos_at,
    projector,
    sessions,
)
from twoturns.store.blob_checks import Checks, count_of, put_rows
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blobs import WRITERS, Blobs
from twoturns.store.errors import BlobDamaged, NotAWorkshop, StoreError, WorkshopMoved
from twoturns.store.keyring import Keyring
from twoturns.store.ledger_copy import add_rows
from twoturns.store.ledger_url import Place
from twoturns.store.newest_checkpoint import Newest
from twoturns.store.port import Connection, Database, rows_of, run_script
from twoturns.store.rebuild import VIEWS_MADE, rebuild_views
from twoturns.store.store import FLOOR_BYTES, OPEN_FILE
from twoturns.store.stored import stored
from twoturns.store.transactions import Transactions
from twoturns.store.turns import Turns
from twoturns.store.views import Views
from twoturns.words import t
from twoturns.words.en.store import move as words

Progress = Callable[[int, int], None]  # records or blobs that are there, of how many

PIECE: Final = 10_000  # records in one transaction
BLOBS_AT_ONCE: Final = 1_000
MARKS: Final = ("backup", "guarded")
# What is no evidence, and goes along all the same: what each is made by.
ALONG: Final = {
    "nonces": sessions.SCHEMA,  # else one that was used could be used again
    "contacts": contacts.TABLE,
    "allowances": allowances.TABLE,
}
# What does not, and why. (`records` and `nodes` are brought and compared one by one; the tables of
# `blob_checks` go along, into a file of their own where the ledger is one.)
STAYS: Final = {
    "sessions",  # who signed out since would be signed in again; phones sign in by themselves
    "marks",  # each is taken over by its name (MARKS); what is noted of moves is of the place
    "confirmed",  # of one server's running, not of the workshop
    "views_made",  # which program made the views: they are made anew from the records, as all
    *projector.TABLES,
}


@dataclass(frozen=True)
class LedgerMove:
    """
    How many records a ledger has, its root, and how many of them the new place has (had); of what
    is no evidence and goes along (`ALONG`, and the tables of `blob_checks`) how many rows each has.
    """

    old: str
    new: str
    size: int
    root: bytes
    there: int
    along: Mapping[str, int] = field(default_factory=dict)

    @property
    def is_fenced(self) -> bool:
        """Say whether a note at the old place keeps others out of it (`moves`): at a server."""
        return self.old != ledger_url.EMBEDDED


@dataclass(frozen=True)
class PhotosMove:
    """
    How many blobs the old place has, how many the new one has (had), whether a note in the ledger
    keeps others out of the old one (`moves`), and which blobs cannot be brought.
    """

    old: str
    new: str
    blobs: int
    there: int
    is_fenced: bool
    damaged: tuple[str, ...] = ()


class Mover:
    """
    The only program at a workshop's folder.

    Args:
        folder: The workshop's folder.
        reached: How the server is reached that the ledger lies on; None: as libpq finds it.

    Raises:
        RecordsLost, Damaged: If that is not the ledger which the folder saw last.
    """

    def __init__(self, folder: Path, reached: str | None = None) -> None:
        self._folder = folder
        self._from = _reached(folder, reached)
        self._ledger = ledger_url.opened(folder, self._from, is_moving=True)
        if not self._ledger.has_table("records"):
            raise _no_workshop(folder)
        self._workshop = _workshop_of(self._ledger)
        # By another server's address another workshop, or an older copy, may have been found.
        newest, keys = Newest(folder), Keyring(folder)
        Transactions(self._ledger, keys, newest, self._workshop, Turns()).check_newest()

    def close(self) -> None:
        """Let go of the ledger."""
        self._ledger.close()

    def look_at_ledger(self, url: str) -> LedgerMove:
        """
        Say what a move of the ledger would do; nothing is made or changed.

        Raises:
            StoreError: `bad-ledger-url`, `other-ledger`.
        """
        place = ledger_url.place_named(self._folder, url)
        self._require_not_gone(place)
        target = self._target(place) if _may_be_there(self._folder, place) else None
        is_begun = target is not None and target.has_table("records")
        with self._ledger.read() as here:
            there = _begun(here, target) if target is not None and is_begun else 0
            told = (_told(self._from), _told(place))
            return LedgerMove(*told, *_head_in(here), there, self._along())

    def move_ledger(self, url: str, progress: Progress = lambda *_: None) -> LedgerMove:
        """
        Bring what the new place lacks, compute the views there, compare, and name it in the folder.

        Raises:
            StoreError: `bad-ledger-url`, `other-ledger`.
            Damaged: If a record is not what it was. The workshop stays where it is then.
        """
        place = ledger_url.place_named(self._folder, url)
        if _told(place) == _told(self._from):
            size, root = _head(self._ledger)
            return LedgerMove(_told(place), _told(place), size, root, size)
        there = self.look_at_ledger(url).there
        target = self._target(place)
        if not target.has_table("records"):
            target = ledger_url.prepared(self._folder, place, is_moving=True)
        with self._held() as here:
            told = (_told(self._from), _told(place))
            moved = LedgerMove(*told, *_head_in(here), there, self._along())
            _bring_records(here, target, progress)
            self._finish(here, target, moved)
            self._checks(place, target).take_over(self._checks(self._from, self._ledger))
            if self._from is not None:  # nobody is shown there what was, and nobody signs in
                here.execute("delete from sessions")
            here.note(moves.gone_to(moved.new), True)
            of_photos = {one for one in here.notes() if moves.place_in({one}) is None}
        with target.write() as db:
            for said in db.notes() | of_photos:
                db.note(said, said in of_photos)
        ledger_url.note(self._folder, place)
        self._ledger.close()
        self._from, self._ledger = place, target
        return moved

    def _target(self, place: Place | None) -> Database:
        return ledger_url.opened(self._folder, place, is_moving=True)

    def _checks(self, place: Place | None, ledger: Database) -> Checks:
        return Checks.beside(self._folder, ledger, lambda: self._target(place))

    @contextmanager
    def _held(self) -> Iterator[Connection]:
        """Give the ledger, and let nobody write there meanwhile; a file nobody else can."""
        if self._from is None:
            with self._ledger.read() as here:
                yield here
        else:
            with self._ledger.write(is_long=True) as here:
                yield here

    def _require_not_gone(self, place: Place | None) -> None:
        """By an old copy of the folder a ledger would be moved that is another's past."""
        gone_to = moves.place_in(self._ledger.connection().notes())
        if gone_to not in (None, _told(place)):
            raise WorkshopMoved(gone_to)

    def _finish(self, here: Connection, target: Database, wanted: LedgerMove) -> None:
        """Compare every record and node with the tree, and its root with the one that was."""
        blobs, _ = photos_at.open_photos(self._folder, None, FLOOR_BYTES, self._workshop)
        facts = BlobFacts.of_all(blobs, target)
        with target.write(is_long=True) as db:
            run_script(db, sessions.SCHEMA)
            # Left here by a move before: whoever signed out since would be signed in again.
            db.execute("delete from sessions")
            for table, schema in ALONG.items():
                run_script(db, schema)
                there = rows_of(here, f"select * from {table}") if self._has(table) else []  # noqa: S608 - constants only
                put_rows(db, table, there)
            rebuild_views(db, self._workshop, facts)
            for mark in MARKS:
                db.mark(mark, here.is_marked(mark))
            if _head_in(db) != (wanted.size, wanted.root):
                raise _other_ledger()

    def _along(self) -> dict[str, int]:
        """Return of what is no evidence how many rows go along."""
        held = {table: count_of(self._ledger, table) for table in ALONG if self._has(table)}
        checks = self._checks(self._from, self._ledger)
        try:
            return dict.fromkeys(ALONG, 0) | held | checks.counts()
        finally:
            if self._from is not None:
                checks.let_go()

    def _has(self, table: str) -> bool:
        return self._ledger.has_table(table)

    def look_at_photos(self, url: str) -> PhotosMove:
        """
        Say what a move of the photos would do; nothing is made or changed.

        Raises:
            PhotosElsewhere: If the URL names no place, or another workshop's.
        """
        old = self._photos()
        new, said = photos_at.look_at(self._folder, url, self._workshop)
        blobs = there = 0
        for some in _some(old.all()):
            blobs += len(some)
            there += 0 if new is None else len(some) - len(new.lacking(some))
        is_fenced = self._from is not None
        return PhotosMove(photos_at.said_in(self._folder), said, blobs, there, is_fenced)

    def move_photos(self, url: str, progress: Progress = lambda *_: None) -> PhotosMove:
        """
        Bring what the new place lacks, hashed as it leaves and as it arrives, and name the place in
        the folder. One that is altered or missing at the old place is told, and stays there.

        Raises:
            PhotosElsewhere: If the URL names no place, or another workshop's.
            PhotosAway: If a store does not answer. The workshop's photos stay where they are then.
        """
        before = self.look_at_photos(url)
        if before.new == before.old:
            return before
        old = self._photos()
        new, _ = photos_at.take_place(self._folder, url, self._workshop)
        damaged: list[str] = []
        done = 0
        with self._held() as here:
            with ThreadPoolExecutor(WRITERS) as side_by_side:
                for some in _some(old.all()):
                    brought = side_by_side.map(partial(_brought, old, new), new.lacking(some))
                    damaged += [blob for blob in brought if blob is not None]
                    progress(done := done + len(some), before.blobs)
            # What was left here by a move before may have been erased since.
            for blob in filter(new.has, Views(self._ledger).erased()):
                new.erase(blob)
            here.note(moves.photos_left(before.old), True)
            here.note(moves.photos_left(before.new), False)
        photos_at.note(self._folder, before.new)
        return replace(before, damaged=tuple(damaged))

    def _photos(self) -> Blobs:
        blobs, _ = photos_at.open_photos(self._folder, None, FLOOR_BYTES, self._workshop)
        return blobs


@contextmanager
def moving(folder: Path, reached: str | None = None) -> Iterator[Mover]:
    """
    Be alone at a workshop, to move it.

    Args:
        folder: The workshop's folder.
        reached: How the server is reached that its ledger lies on; None: as libpq finds it.

    Raises:
        NotAWorkshop: If the folder is none.
        StoreError: `workshop-open`, if it is served, or another command is at it.
    """
    folder = folder.resolve()
    if not ledger_url.is_there(folder):
        raise _no_workshop(folder)
    with files.alone(folder / OPEN_FILE) as is_alone:
        if not is_alone:
            hint = t(words.WORKSHOP_OPEN_HINT)
            says = t(words.WORKSHOP_OPEN, folder=str(folder))
            raise StoreError(says, code="workshop-open", hint=hint)
        mover = Mover(folder, reached)
        try:
            yield mover
        finally:
            mover.close()


def _reached(folder: Path, reached: str | None) -> Place | None:
    """Return where the ledger lies; what the environment says is of where it shall lie."""
    held = ledger_url.said_in(folder)
    if held is None or reached is None:
        return held
    return ledger_url.place_of(folder, reached)


def _may_be_there(folder: Path, place: Place | None) -> bool:
    """Say whether a place can be looked at without making anything there."""
    return place is not None or (folder / ledger_url.DATABASE_FILE).is_file()


def _told(place: Place | None) -> str:
    return ledger_url.EMBEDDED if place is None else place.without_password


def _head(ledger: Database) -> tuple[int, bytes]:
    with ledger.read() as db:
        return _head_in(db)


def _head_in(db: Connection) -> tuple[int, bytes]:
    size = book.size_of(db)
    return size, Tree(book.Nodes(db), size).root()


def _workshop_of(ledger: Database) -> str:
    first = ledger.row('select record from records where "index" = 0')
    assert first is not None  # noqa: S101 - a workshop is made with it
    return stored(0, first["record"]).entry.workshop


def _begun(here: Connection, target: Database) -> int:
    """
    Return how many records a target has already.

    Raises:
        StoreError: `other-ledger`, if they are not the first ones of this ledger.
    """
    size, root = _head(target)
    whole = book.size_of(here)
    if size > whole or (size > 0 and Tree(book.Nodes(here), whole).root(size) != root):
        raise _other_ledger()
    return size


def _bring_records(here: Connection, target: Database, progress: Progress) -> None:
    with target.write() as db:
        run_script(db, book.SCHEMA + VIEWS_MADE)
    start, end = _begun(here, target), book.size_of(here)
    for low in range(start, end, PIECE):
        high = min(low + PIECE, end)
        with target.write(is_long=True) as db:
            if book.size_of(db) != low:  # somebody else moves another one there
                raise _other_ledger()
            add_rows(here, db, low, high)
        progress(high, end)


def _brought(old: Blobs, new: Blobs, blob: str) -> str | None:
    """Bring a blob; return its name if it is not whole where it is."""
    try:
        with old.open_whole(blob) as source:
            return None if new.bring(source, blob) else blob
    except BlobDamaged:
        return blob


def _some(names: Iterator[str]) -> Iterator[Sequence[str]]:
    while some := list(islice(names, BLOBS_AT_ONCE)):
        yield some


def _other_ledger() -> StoreError:
    says, hint = t(words.OTHER_LEDGER_THERE), t(words.OTHER_LEDGER_THERE_HINT)
    return StoreError(says, code="other-ledger", hint=hint)


def _no_workshop(folder: Path) -> NotAWorkshop:
    return NotAWorkshop(t(words.NO_WORKSHOP, folder=str(folder)), hint=t(words.NO_WORKSHOP_HINT))
