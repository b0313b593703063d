"""
The ledger on disk: records in, receipts and pages out.

One batch is one transaction: records, tree, views and, for blobs newly kept, the workshop's own
signed `blob.kept`. Either all of it is on the disk and the receipt says so, or nothing is and
there is no receipt. Files come first: a `blob.kept` is only written when its blob is durable.

Everything correctly signed by a key that was ever enrolled goes in, once; what is off about it is
its standing. Refused are only bytes that are no evidence: not canonical, wrongly signed, of an
unknown device, of another workshop, or saying what no kind says.
"""

import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlite_utils

from twoturns.ledger import checkpoint, entry, note, private
from twoturns.ledger import receipt as receipts
from twoturns.ledger.bodies import EDITION
from twoturns.ledger.checkpoint import Checkpoint
from twoturns.ledger.entry import CONSOLE, Entry
from twoturns.ledger.erasure import Rule, Ruled
from twoturns.ledger.errors import EnrolmentRefused, LedgerError
from twoturns.ledger.keys import SigningKey
from twoturns.ledger.record import Record, stamp_of
from twoturns.ledger.roster import ROSTER_KINDS, Roster
from twoturns.ledger.tree import Tree, leaf_hash
from twoturns.store import erasures
from twoturns.store.blobs import Blobs
from twoturns.store.book import Book, Nodes, signed_head, size_of
from twoturns.store.check import checked_proof
from twoturns.store.database import Database, Row, is_backup, mark_as_backup, rows_of
from twoturns.store.errors import AppTooOld, LineRefused, WrongKey
from twoturns.store.events import tell_statements
from twoturns.store.keyring import Keyring
from twoturns.store.led_to import led_to
from twoturns.store.newest import Newest, is_guarded, mark_as_guarded, require
from twoturns.store.sight import AnySight
from twoturns.store.stored import damaged, stored
from twoturns.store.times import as_text
from twoturns.store.uploads import Uploads
from twoturns.store.views import Views, seen_by


@dataclass(frozen=True)
class Receipt:
    """
    What a batch came to. `kept` are the `blob.kept` records that cover its private values.

    `stamps` are the time and offset that stand before each line in its record; with them the
    phone has the leaves, and `proof` leads from them and those of `kept` to the checkpoint. `held`:
    the standing of those that are held back, of which no page will tell. `unread`: those that are
    kept and that only a newer program can act on.
    """

    checkpoint: str
    indices: dict[str, int]
    stamps: dict[str, str]
    kept: list[tuple[int, str]]
    proof: list[bytes]
    refused: list[dict[str, Any]]
    held: dict[str, str]
    unread: list[str]


@dataclass(frozen=True)
class Place:
    """Where one record stands, and the proof that it is under the checkpoint."""

    index: int
    record: str
    checkpoint: str
    proof: list[bytes]


@dataclass(frozen=True)
class Enrolled:
    """Where a device's enrolment stands, and the invitation it followed from."""

    enrolment: Place
    invitation: Place


@dataclass(frozen=True)
class Chain:
    """The records that lead to the workshop key in force, which signed the checkpoint."""

    records: list[tuple[int, str]]
    checkpoint: str
    proof: list[bytes]


@dataclass(frozen=True)
class Page:
    """
    Records from an index on; `next` is where to go on. With an acceptance (`work.accepted`) come
    the records of a revoked device that it released, whose indices are below.

    `standings` has every record of the page that is not good, and every earlier entry whose
    standing a record in the page's span changed. `proof` covers all records of the page.
    """

    records: list[tuple[int, str]]
    next: int
    more: bool
    checkpoint: str
    proof: list[bytes]
    standings: dict[str, str]


def _of(sight: AnySight) -> str:
    return f" and (job is null or job in ({sight.jobs}))"


class Ledger:
    """A workshop's ledger. Times come from the caller."""

    def __init__(
        self,
        database: Database,
        blobs: Blobs,
        uploads: Uploads,
        views: Views,
        keyring: Keyring,
        newest: Newest,
    ) -> None:
        self._database, self._blobs, self._views = database, blobs, views
        self._uploads, self._keyring, self._newest = uploads, keyring, newest
        self._seen: Checkpoint | None = None
        first = database.row('select record from records where "index" = 0')
        assert first is not None  # noqa: S101 - a workshop is made with it
        self.workshop = stored(0, first["record"]).entry.workshop
        self._roster: tuple[int, Roster] | None = None
        self._turn = threading.Lock()
        self._first_edition: tuple[int, Roster] | None = None
        self._first_editions_turn = threading.Lock()

    @property
    def key(self) -> str:
        """The workshop's public key."""
        return self.signer().key

    def signer(self) -> SigningKey:
        """
        Return the workshop's key.

        Raises:
            WrongKey: If the key file has not, or no longer, the right to sign.
        """
        return self._keyring.signer(self._database.connection())

    def size(self) -> int:
        """Return the number of records."""
        return size_of(self._database.connection())

    def append(
        self,
        lines: Sequence[str],
        private_values: Sequence[str],
        *,
        received: datetime,
        offset_ms: int | None,
        is_from_owner: bool = False,
        is_bounded: bool = True,
    ) -> Receipt:
        """
        Append a batch, and the private values that come with it.

        A repeat of what is held earns the same receipt, so a phone that did not hear the answer
        may send until it does. Signatures of known devices are checked before the transaction.
        An owner's device may bring back enrolments whose invitation is over, and with `is_bounded`
        False (a file at the console) all that a revoked device wrote is taken, one shut out too.

        Raises:
            WorkshopFull: If the disk has no room; nothing of the batch was kept then.
        """
        refused: list[dict[str, Any]] = []
        blobs = list(self._put_private(private_values, refused))
        said = list(self._readable(lines, refused))
        placed: dict[str, tuple[int, str]] = {}
        with self._writing(received) as book:
            ahead = [one.seq for _, one, is_verified in said if is_verified and book.is_ahead(one)]
            if ahead:
                book.go_on_above(max(ahead))
            for place, one, is_verified in said:
                found = book.find(one.id)
                if found is None:
                    try:
                        if not is_verified:
                            book.admit(one, is_from_owner=is_from_owner)
                        if is_bounded and not is_from_owner:
                            book.require_sight(one)
                            book.require_room(one)
                    except LineRefused as why:
                        refused.append(_refusal(why, line=place, id=one.id))
                        continue
                    found = book.append(one, offset_ms)
                placed[one.id] = found
            kept = [(index, book.text(index)) for index in book.keep(blobs)]
            receipt = Receipt(
                book.checkpoint(),
                {one: index for one, (index, _) in placed.items()},
                {one: stamp_of(text) for one, (_, text) in placed.items()},
                kept,
                checked_proof(book.tree, dict([*placed.values(), *kept])),
                refused,
                book.held(placed),
                [one.id for _, one, _ in said if one.id in placed and not one.is_known],
            )
        self._remove_erased([one for _, one, _ in said], blobs)
        if any(one.kind == "erasure.hastened" for _, one, _ in said):
            self.carry_out_orders(received)
        return receipt

    def enrol(
        self, line: str, received: datetime, receipt: receipts.Receipt | None = None
    ) -> Enrolled:
        """
        Take a `device.enrolled` from a device nobody knows yet, and say where it stands.

        With its receipt a device comes back that was in before the workshop was put back.

        Raises:
            LedgerError: If the line is not one, or follows neither from an open invitation nor
                from one that the receipt shows.
            LineRefused: `foreign-workshop`.
        """
        said = entry.parse(line)
        self._require_ours(said)
        if said.kind != "device.enrolled":
            raise EnrolmentRefused(
                f"the line is a {said.wire_kind} that cannot be read as an enrolment",
                hint="The app may be newer than the workshop's program: bring that up to date.",
            )
        with self._writing(received) as book:
            found = book.find(said.id) or book.let_in(said, receipt)
            invitation = book.find(said.body["invitation"])
            assert invitation is not None  # noqa: S101 - no enrolment enters without it
            head = book.checkpoint()
            enrolment, invited = (
                Place(*one, head, checked_proof(book.tree, dict([one])))
                for one in (found, invitation)
            )
            return Enrolled(enrolment, invited)

    def state(self, kind: str, body: dict[str, Any], now: datetime) -> tuple[int, Entry]:
        """Append a statement of the console's, and return its index and the entry."""
        with self._writing(now) as book:
            index, said = book.state(kind, body)
        self._remove_erased([said])
        return index, said

    def statements(self, kind: str) -> list[Record]:
        """Return the workshop's good statements of a kind, in the order of the ledger."""
        rows = self._database.rows(_STATEMENTS, [kind])
        return [stored(row["index"], row["record"]) for row in rows]

    def carry_out_orders(self, now: datetime) -> int:
        """
        Erase what orders that are due name, and return how many blobs that were.

        May be asked as often as one likes, by whatever process: what is due is looked up in the
        transaction that states it.
        """
        with self._database.read() as db:
            if not erasures.due(db, as_text(now)):
                return 0
        with self._writing(now) as book:
            said = book.carry_out_orders()
        self._remove_erased(said)
        return len(said)

    def orders(self) -> list[erasures.Told]:
        """Return every order to erase, the newest first."""
        with self._database.read() as db:
            return erasures.orders(db)

    def erasure_rules(self, now: datetime) -> tuple[Rule, list[tuple[str, Ruled]]]:
        """Return the rule that holds, and all that were stated, by their entries."""
        with self._database.read() as db:
            return erasures.rule_at(db, as_text(now)), erasures.rules(db)

    def keep(self, blobs: Sequence[str], now: datetime) -> None:
        """State that blobs, which are durable by now, are kept."""
        if any(self._views.kept_at(blob) is None for blob in blobs):
            with self._writing(now) as book:
                book.keep(blobs)

    def page(
        self,
        since: int,
        *,
        limit: int,
        sight: AnySight | None = None,
        job: str | None = None,
        edition: int = EDITION,
    ) -> Page:
        """
        Return records from an index on: all a sight shows, or one job's.

        Apps of the first edition throw away a page in which they cannot read a record, so they are
        given what they can read and verify. Later ones keep what they do not know.

        Raises:
            AppTooOld: If an app of this edition does not know the key that signs for the workshop.
        """
        with self._database.read() as db:
            head = size_of(db)
            where = {"since": since, "limit": limit + 1, "job": job, **seen_by(sight)}
            which = _OF_JOB if job is not None else _OF_ALL if sight is None else _of(sight)
            rows = rows_of(db, _RECORDS + which + _IN_ORDER, where)
            more = len(rows) > limit
            if more:
                # What an acceptance released has its place, and goes with it: a page ends after it.
                upto = rows[limit - 1]["shown"] + 1
                released = rows_of(db, _RECORDS + which + _AT, {**where, "shown": upto - 1})
                rows = [row for row in rows if row["shown"] < upto - 1] + released
            else:
                upto = max(since, head)
            if edition == 1:
                rows = self._readable_at_first(rows)
            changed = rows_of(db, _STANDINGS + which, {**where, "upto": upto})
            standings = {row["id"]: row["standing"] for row in changed}
            tree = Tree(Nodes(db), head)
            return Page(
                [(row["index"], row["record"]) for row in rows],
                upto,
                more,
                signed_head(self._keyring.signer(db), self.workshop, tree),
                checked_proof(tree, {row["index"]: row["record"] for row in rows}),
                standings,
            )

    def record(self, index: int) -> Place:
        """Return a record with a checkpoint that covers it."""
        with self._database.read() as db:
            row = db.execute('select record from records where "index" = ?', [index]).fetchone()
            tree = Tree(Nodes(db), size_of(db))
            head = signed_head(self._keyring.signer(db), self.workshop, tree)
            return Place(index, str(row[0]), head, checked_proof(tree, {index: str(row[0])}))

    def checkpoint(self) -> str:
        """Return the signed head of the ledger."""
        with self._database.read() as db:
            return signed_head(
                self._keyring.signer(db), self.workshop, Tree(Nodes(db), size_of(db))
            )

    def sign(self, text: str) -> str:
        """Return a signed note of the workshop's, under the name that signs its checkpoints."""
        return note.sign(self.signer(), checkpoint.origin_of(self.workshop), text)

    def root_at(self, size: int) -> bytes | None:
        """Return the root the ledger had at a size, or None if it never was that long."""
        with self.reading() as tree:
            return tree.root(size) if size <= tree.size else None

    @contextmanager
    def reading(self) -> Iterator[Tree]:
        """Give the tree on one snapshot, for proofs."""
        with self._database.read() as db:
            yield Tree(Nodes(db), size_of(db))

    def job_entries(self, job: str) -> list[tuple[int, Record, str]]:
        """
        Return what a job shows: records with index and standing, in the order of the ledger. What
        is held back of a revoked device is not among them.
        """
        rows = self._database.rows(_JOB_RECORDS, [job])
        for row in rows:
            if leaf_hash(row["record"].encode()) != row["hash"]:
                raise damaged(row["index"])
        read = ((row["index"], row["record"], row["standing"]) for row in rows)
        return [(index, stored(index, text), standing) for index, text, standing in read]

    def is_second_voice(self, device: str, now: datetime) -> bool:
        """Say whether an enrolled device may hasten what another owner ordered."""
        with self._database.read() as db:
            known = self._roster_now().device(device)
            return known is not None and erasures.is_second_voice(db, known, as_text(now))

    def _remove_erased(self, said: Sequence[Entry], put: Sequence[str] = ()) -> None:
        """
        Remove the bytes that entries say are erased, now that they are on the disk.

        `put` was written meanwhile: it may have been erased after it was looked for.
        """
        named = [one.body["blob"] for one in said if one.kind == "blob.erased"]
        erased = [blob for blob in (*named, *put) if self._views.is_erased(blob)]
        for blob in erased:
            self._blobs.erase(blob)
            self._uploads.forget(blob)
        if erased:
            self._database.forget_the_past()

    @contextmanager
    def _writing(self, received: datetime) -> Iterator[Book]:
        """Open the book for one transaction of the workshop as it is."""
        with self.succeeding() as (db, roster):
            key = self._keyring.signer(db)
            book = Book(db, roster=roster, blobs=self._blobs, key=key, received=received)
            if is_backup(db):
                book.go_on_above()
                mark_as_backup(db, False)
            book.begin_rules(EDITION)
            yield book

    @contextmanager
    def succeeding(self) -> Iterator[tuple[sqlite_utils.Database, Roster]]:
        """
        Open the ledger for one transaction, whoever signs in it: as it is when keys change hands.

        Threads take turns, as processes do at the file.
        """
        with self._turn:
            try:
                with self._database.write() as db:
                    if self._seen is not None:
                        require(Tree(Nodes(db), size_of(db)), self._seen)
                    if not is_guarded(db) and self._newest.path.exists():
                        mark_as_guarded(db, True)
                    start, roster = size_of(db), self._roster_now()
                    yield db, roster
                    self._roster = (size_of(db), roster)
            except BaseException:
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
        known = [one.key for one in self.roster().devices() if one.role == CONSOLE]
        with suppress(WrongKey):  # of a key that came after what is lost, only the file knows
            known.append(self._keyring.read().key.key)
        with self._database.read() as db:
            self._seen = self._newest.check(db, self.workshop, known)

    def _newest_checkpoint(self) -> str:
        with self._database.read() as db:
            tree = Tree(Nodes(db), size_of(db))
            self._seen = Checkpoint(tree.size, tree.root())
            return checkpoint.sign(
                self._keyring.signer(db), self.workshop, self._seen.size, self._seen.root
            )

    def roster(self) -> Roster:
        """Return the roster as the ledger stands."""
        roster = Roster(self.workshop)
        for index, said in self._statements(0):
            roster.apply(index, said)
        return roster

    def succession(self) -> Chain:
        """Return the statements that lead from the first workshop key to the one in force."""
        with self._database.read() as db:
            statements = {
                row["index"]: stored(row["index"], row["record"])
                for row in rows_of(db, _ROSTER_RECORDS, {"start": 0})
            }
            tree = Tree(Nodes(db), size_of(db))
            led = sorted(led_to(statements, set()).items())
            return Chain(
                [(index, record.text) for index, record in led],
                signed_head(self._keyring.signer(db), self.workshop, tree),
                checked_proof(tree, {index: record.text for index, record in led}),
            )

    def _roster_now(self) -> Roster:
        """Return the roster, brought up to date with what other processes wrote."""
        start, roster = self._roster or (0, Roster(self.workshop))
        for index, said in self._statements(start):
            roster.apply(index, said)
        return roster

    def _statements(self, start: int) -> Iterator[tuple[int, Entry]]:
        for row in self._database.rows(_ROSTER_RECORDS, {"start": start}):
            yield row["index"], stored(row["index"], row["record"]).entry

    def _readable_at_first(self, rows: list[Row]) -> list[Row]:
        """Return the records that an app of the first edition can read, by keys that it knows."""
        roster = self._roster_of_the_first_edition()
        if roster.workshop_key != self.key:
            raise AppTooOld
        said = [(row, stored(row["index"], row["record"]).entry) for row in rows]
        return [row for row, one in said if one.edition == 1 and roster.key_of(one) is not None]

    def _roster_of_the_first_edition(self) -> Roster:
        with self._first_editions_turn:
            start, roster = self._first_edition or (0, Roster(self.workshop))
            for index, said in self._statements(start):
                if said.edition == 1:
                    roster.apply(index, said)
                start = index + 1
            self._first_edition = (start, roster)
            return roster

    def _put_private(self, texts: Sequence[str], refused: list[dict[str, Any]]) -> Iterator[str]:
        """Write private values durably; they count as kept only once the ledger says so."""
        for place, text in enumerate(texts):
            try:
                data = text.encode("utf-8", "surrogatepass")
                private.read(data)
                if self._views.is_erased(private.blob_id(data)):
                    raise LineRefused("blob-erased", "these bytes were erased here")
            except (LedgerError, LineRefused) as why:
                refused.append(_refusal(why, blob=place))
            else:
                yield self._blobs.put(data)

    def _readable(
        self, lines: Sequence[str], refused: list[dict[str, Any]]
    ) -> Iterator[tuple[int, Entry, bool]]:
        """Yield the lines that are entries of this workshop; True if the signature was checked."""
        keys: dict[str, str | None] = {}
        for place, line in enumerate(lines):
            said = None
            try:
                said = entry.parse(line)
                self._require_ours(said)
                if said.device not in keys:
                    device = self._views.device(said.device)
                    keys[said.device] = device.key if device else None
                key = keys[said.device]
                if key is not None and not entry.verify(said, key):
                    raise LineRefused(
                        "wrong-signature", f"the key of {said.device[:12]} did not sign it"
                    )
            except (LedgerError, LineRefused) as why:
                known = {} if said is None else {"id": said.id}
                refused.append(_refusal(why, line=place, **known))
            else:
                yield place, said, key is not None

    def _require_ours(self, said: Entry) -> None:
        if said.workshop != self.workshop:
            raise LineRefused("foreign-workshop", f"it is of workshop {said.workshop[:12]}")


def _refusal(why: LedgerError | LineRefused, **known: Any) -> dict[str, Any]:
    return {**known, "code": why.code, "message": str(why), "hint": why.hint}


_ROSTER_RECORDS = f"""
select "index", record from entries join records using ("index")
where "index" >= :start and kind in ({",".join(repr(kind) for kind in ROSTER_KINDS)})
order by "index"
"""  # noqa: S608 - constants only
_RECORDS = """
select "index", record, shown from entries join records using ("index") where shown >= :since
"""
_STANDINGS = """
select id, standing from entries
where shown is not null and (("index" < :since and standing_at >= :since and standing_at < :upto)
    or ("index" >= :since and "index" < :upto and standing != 'good'))
"""
_OF_ALL = ""
_OF_JOB = " and job = :job"
_AT = ' and shown = :shown order by "index"'
_IN_ORDER = ' order by shown, "index" limit :limit'
_STATEMENTS = """
select "index", record from entries join records using ("index")
where kind = ? and job is null and standing = 'good' order by "index"
"""
_JOB_RECORDS = """
select "index", record, standing, hash from entries join records using ("index")
join nodes on level = 0 and number = "index"
where job = ? and shown is not null order by "index"
"""
