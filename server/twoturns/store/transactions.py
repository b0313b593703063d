"""
The unit of work: one transaction of the workshop, by whoever signs for it now.

The roster and the newest checkpoint are brought up to date with what other processes wrote, the
ledger is compared with what this process saw last, and when the transaction is on the disk the
newest checkpoint is written outside the database. Files come before it: the key is read and blobs
are read (`BlobFacts`) while others may still write, and a `blob.kept` is only stated of a blob that
is durable.
"""

import threading
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any, Generic, NoReturn, TypeVar

from twoturns.ledger import checkpoint
from twoturns.ledger.bodies import EDITION
from twoturns.ledger.checkpoint import Checkpoint
from twoturns.ledger.entry import CONSOLE, Entry
from twoturns.ledger.keys import SigningKey
from twoturns.ledger.roster import ROSTER_KINDS, Roster
from twoturns.store.blob_facts import BlobFacts, NotRead
from twoturns.store.book import Book, KnownNodes, size_of
from twoturns.store.errors import WorkshopAway, WorkshopLocked, WrongKey
from twoturns.store.ids import Ids
from twoturns.store.keyring import Keyring, current_key
from twoturns.store.newest_checkpoint import Newest, require
from twoturns.store.port import Connection, Database
from twoturns.store.statement_events import tell_statements
from twoturns.store.stored import stored
from twoturns.store.turns import Turns

T = TypeVar("T")
MOST_TOGETHER = 8  # batches in one transaction
TURN_SECONDS = 20.0  # how long one waits for those before it; a transaction has an end by itself


@dataclass(eq=False)
class _Wanted(Generic[T]):
    """What a thread wants done in a book, and what came of it, once that is so."""

    act: Callable[[Book], T]
    facts: BlobFacts
    received: datetime
    outcome: Callable[[], T] | None = None


def _returned(done: T) -> T:
    return done


def _raised(why: BaseException) -> NoReturn:
    raise why


class Transactions:
    """The write transactions of one process, one after the other."""

    def __init__(
        self, database: Database, keyring: Keyring, newest: Newest, workshop: str, turns: Turns
    ) -> None:
        self._database, self._keyring, self._newest = database, keyring, newest
        self._workshop, self._turns = workshop, turns
        self._seen: Checkpoint | None = None
        self._signed: tuple[Checkpoint, str] | None = None  # what this process wrote last, its note
        self._roster: tuple[int, Roster] | None = None
        self._ids = Ids()
        self._turn = threading.Lock()
        self._changed = threading.Condition()
        self._is_led = False
        self._waiting: deque[_Wanted[Any]] = deque()

    def run(self, act: Callable[[Book], T], facts: BlobFacts, received: datetime) -> T:
        """
        Open the book in a transaction, and return what `act` returns once that is on the disk.

        What other threads want meanwhile goes in the same transaction, each in a book of its own:
        a commit waits for the disk, and they would each wait for all before them. Where that fails
        all of it is undone, and each goes in one of its own, which fails for its own reasons. So
        `act` may be called several times: it changes nothing but the book.

        Raises:
            WorkshopFull: If the disk has no room; nothing was kept then.
            WorkshopLocked: If those before it do not come to their end.
            WrongKey: If the key file does not hold the workshop's key.
        """
        wanted = _Wanted(act, facts, received)
        with self._changed:
            self._waiting.append(wanted)
        while group := self._group_to_lead(wanted):
            try:
                self._carry_out(group)
            finally:
                self._end_leading([one for one in group if one is not wanted])
        assert wanted.outcome is not None  # noqa: S101 - else there was a group to lead
        return wanted.outcome()

    def _group_to_lead(self, wanted: "_Wanted[Any]") -> "list[_Wanted[Any]]":
        """Wait until another thread has carried out what this one wants; or lead those who wait."""
        with self._changed:
            is_due = lambda: wanted.outcome is not None or not self._is_led  # noqa: E731 - said twice
            if not self._changed.wait_for(is_due, TURN_SECONDS):
                with suppress(ValueError):  # else it is being carried out
                    self._waiting.remove(wanted)
                    raise WorkshopLocked
                self._changed.wait_for(is_due)
            if wanted.outcome is not None:
                return []
            self._is_led = True
        return self._take_waiting(MOST_TOGETHER)

    def _take_waiting(self, most: int) -> "list[_Wanted[Any]]":
        with self._changed:
            return [self._waiting.popleft() for _ in range(min(len(self._waiting), most))]

    def _end_leading(self, others: "Sequence[_Wanted[Any]]") -> None:
        with self._changed:  # if this thread was interrupted the others wait on
            self._waiting.extendleft(one for one in reversed(others) if one.outcome is None)
            self._is_led = False
            self._changed.notify_all()

    def _carry_out(self, group: "list[_Wanted[Any]]") -> None:
        """Carry out what is wanted, and what comes in until the ledger is ours: `group` grows."""
        try:
            for wanted, done in zip(group, self._together(group), strict=True):
                wanted.outcome = partial(_returned, done)
        except Exception as why:  # noqa: BLE001 - told to whom it concerns, in their own threads
            # Else it is on the disk, and is not done twice: what comes after that failed; or a
            # server did not say whether it is.
            is_undone = self._roster is None and not isinstance(why, WorkshopAway)
            if is_undone and (len(group) > 1 or isinstance(why, NotRead)):
                for wanted in group:
                    self._carry_out_alone(wanted)
            else:
                for wanted in group:
                    wanted.outcome = partial(_raised, why)

    def _carry_out_alone(self, wanted: "_Wanted[Any]") -> None:
        try:
            done = wanted.facts.supply(lambda: self._together([wanted], most=1)[0])
        except Exception as why:  # noqa: BLE001 - told to whom it concerns, in their own thread
            wanted.outcome = partial(_raised, why)
        else:
            wanted.outcome = partial(_returned, done)

    def _together(self, group: "list[_Wanted[Any]]", most: int = MOST_TOGETHER) -> list[Any]:
        key = None
        with self._database.read() as db, suppress(WrongKey):
            key = self._keyring.signer(db)
        with self.succeeding() as (db, roster), self._turns.writing():
            group += self._take_waiting(most - len(group))
            done = []
            for wanted in group:
                # Handed over since it was read a moment ago: only then is a file opened in here.
                if key is None or current_key(db) != key.key:
                    key = self._keyring.signer(db)
                facts, received = wanted.facts, wanted.received
                with Book(
                    db, roster=roster, facts=facts, key=key, received=received, ids=self._ids
                ) as book:
                    if db.is_marked("backup"):
                        book.go_on_above()
                        db.mark("backup", False)
                    book.begin_rules(EDITION)
                    done.append(wanted.act(book))
            head = Checkpoint(book.tree.size, book.tree.root())
            self._signed = (head, book.checkpoint())
        return done

    @contextmanager
    def succeeding(self) -> Iterator[tuple[Connection, Roster]]:
        """
        Open the ledger for one transaction, whoever signs in it: as it is when keys change hands.

        Threads take turns, as processes do at the file.
        """
        with self._turn:
            is_guarding = self._newest.path.exists()
            try:
                with self._database.write() as db:
                    start, roster = size_of(db), self.roster_now()
                    if self._seen is not None:
                        require(KnownNodes(db).tree(start, self._seen.size), self._seen)
                    if is_guarding and not db.is_marked("guarded"):
                        db.mark("guarded", True)
                    yield db, roster
                    self._roster = (size_of(db), roster)
            except BaseException:
                self._signed = None
                self._ids.forget()
                self._roster = None  # it may hold statements of the transaction that was undone
                raise
            self._newest.write(self._newest_checkpoint)
            tell_statements(self._database, start, self._roster[0])

    def check_newest(self) -> None:
        """
        Compare the ledger with the newest checkpoint that lies outside the database.

        Raises:
            RecordsLost, Damaged: As `Newest.check`.
        """
        # First: what others commit meanwhile only makes the ledger newer than what stands there.
        notes = self._newest.notes()
        with self._database.read() as db:
            known = [one.key for one in self.roster().devices() if one.role == CONSOLE]
            with suppress(WrongKey):  # of a key that came after what is lost, only the file knows
                known.append(self._keyring.read().key.key)
            self._seen = self._newest.check(db, notes, self._workshop, known)

    def roster(self) -> Roster:
        """Return the roster as the ledger stands."""
        roster = Roster(self._workshop)
        for index, said in statements_from(self._database, 0):
            roster.apply(index, said)
        return roster

    def roster_now(self) -> Roster:
        """Return this process's own roster, brought up to date with what others wrote."""
        start, roster = self._roster or (0, Roster(self._workshop))
        for index, said in statements_from(self._database, start):
            roster.apply(index, said)
        return roster

    @contextmanager
    def signing(self) -> Iterator[tuple[Connection, SigningKey]]:
        """
        Read the ledger on one snapshot, with the key that signs for it there.

        Raises:
            WrongKey: If the file holds another, and not because it was handed over meanwhile.
        """
        tried = ""
        while True:
            with self._database.read() as db:
                try:
                    key = self._keyring.signer(db)
                except WrongKey:
                    # Another process may have handed over between our snapshot and its key file.
                    if tried == (tried := current_key(db)):
                        raise
                    continue
                yield db, key
                return

    def _newest_checkpoint(self) -> str:
        with self.signing() as (db, key):
            size = size_of(db)
            if self._signed is not None and self._signed[0].size == size:
                self._seen, note = self._signed
                return note
            self._seen = Checkpoint(size, KnownNodes(db).tree(size).root())
            return checkpoint.sign(key, self._workshop, self._seen.size, self._seen.root)


def statements_from(database: Database, start: int) -> Iterator[tuple[int, Entry]]:
    """Yield what a roster is made of, from an index on."""
    for row in database.rows(ROSTER_RECORDS, {"start": start}):
        yield row["index"], stored(row["index"], row["record"]).entry


ROSTER_RECORDS = f"""
select "index", record from entries join records using ("index")
where "index" >= :start and job is null
    and kind in ({",".join(repr(kind) for kind in ROSTER_KINDS)})
order by "index"
"""  # noqa: S608 - constants only
