"""
The ledger on disk: records in, receipts out.

One batch is one transaction: records, tree, views and, for blobs newly kept, the workshop's own
signed `blob.kept`. Either all of it is on the disk and the receipt says so, or nothing is and
there is no receipt. Files come first: a `blob.kept` is only written when its blob is durable.

Everything correctly signed by a key that was ever enrolled goes in, once; what is off about it is
its standing.
"""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from twoturns.ledger import checkpoint, note
from twoturns.ledger.entry import Entry
from twoturns.ledger.keys import SigningKey
from twoturns.ledger.record import Record, stamp_of
from twoturns.ledger.roster import Roster
from twoturns.ledger.tree import Tree, leaf_hash
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blobs import Blobs
from twoturns.store.book import Book, KnownNodes, signed_head, size_of
from twoturns.store.check import checked_proof
from twoturns.store.erasing import Erasing
from twoturns.store.errors import LineRefused
from twoturns.store.intake import Batch, Intake, Refusal, refusal
from twoturns.store.key_chain import led_to
from twoturns.store.keyring import Keyring
from twoturns.store.port import Database, rows_of
from twoturns.store.stored import damaged, stored
from twoturns.store.transactions import ROSTER_RECORDS, Transactions
from twoturns.store.views import Views


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
    refused: list[Refusal]
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
class Chain:
    """The records that lead to the workshop key in force, which signed the checkpoint."""

    records: list[tuple[int, str]]
    checkpoint: str
    proof: list[bytes]


class Ledger:
    """A workshop's ledger. Times come from the caller."""

    def __init__(
        self,
        database: Database,
        transactions: Transactions,
        keyring: Keyring,
        erasing: Erasing,
        intake: Intake,
        blobs: Blobs,
        views: Views,
        workshop: str,
    ) -> None:
        self._database, self._transactions, self._keyring = database, transactions, keyring
        self._erasing, self._intake = erasing, intake
        self._blobs, self._views = blobs, views
        self.workshop = workshop

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

    def roster(self) -> Roster:
        """Return the roster as the ledger stands."""
        return self._transactions.roster()

    def require_ours(self, said: Entry) -> None:
        """Check that an entry is of this workshop. Raises LineRefused, `foreign-workshop`."""
        self._intake.require_ours(said)

    # Writing

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
        batch = self._intake.read(lines, private_values)

        def put(book: Book) -> Receipt:
            refused: list[Refusal] = []
            placed = _placed(
                book,
                batch,
                refused,
                offset_ms=offset_ms,
                is_from_owner=is_from_owner,
                is_bounded=is_bounded and not is_from_owner,
            )
            return _receipt(book, batch, placed, [*batch.refused, *refused])

        receipt = self._transactions.run(put, batch.facts, received)
        said = [line.said for line in batch.lines]
        self._erasing.remove_erased(said, list(batch.values))
        if any(one.kind == "erasure.hastened" for one in said):
            self._erasing.carry_out_orders(received)
        return receipt

    def state(self, kind: str, body: dict[str, Any], now: datetime) -> tuple[int, Entry]:
        """Append a statement of the console's, and return its index and the entry."""
        facts = BlobFacts(self._blobs)
        if kind == "bundle.published" and self._blobs.has(body["bundle"]):
            facts.read(body["bundle"])
        index, said = self._transactions.run(lambda book: book.state(kind, body), facts, now)
        self._erasing.remove_erased([said])
        return index, said

    def keep(self, blobs: Sequence[str], now: datetime) -> None:
        """State that blobs, which are durable by now, are kept."""
        if any(self._views.kept_at(blob) is None for blob in blobs):
            sizes = {blob: self._blobs.size(blob) for blob in blobs}
            self._transactions.run(lambda book: book.keep(sizes), BlobFacts(self._blobs), now)

    # Reading

    def record(self, index: int) -> Place:
        """Return a record with a checkpoint that covers it."""
        with self._database.read() as db:
            row = db.execute('select record from records where "index" = ?', [index]).fetchone()
            tree = KnownNodes(db).proving(size_of(db), [index])
            head = signed_head(self._keyring.signer(db), self.workshop, tree)
            return place_of(tree, index, str(row[0]), head)

    def statements(self, kind: str) -> list[Record]:
        """Return the workshop's good statements of a kind, in the order of the ledger."""
        rows = self._database.rows(_STATEMENTS, [kind])
        return [stored(row["index"], row["record"]) for row in rows]

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

    def succession(self) -> Chain:
        """Return the statements that lead from the first workshop key to the one in force."""
        with self._database.read() as db:
            statements = {
                row["index"]: stored(row["index"], row["record"])
                for row in rows_of(db, ROSTER_RECORDS, {"start": 0})
            }
            led = sorted(led_to(statements, set()).items())
            tree = KnownNodes(db).proving(size_of(db), [index for index, _ in led])
            return Chain(
                [(index, record.text) for index, record in led],
                signed_head(self._keyring.signer(db), self.workshop, tree),
                checked_proof(tree, {index: record.text for index, record in led}),
            )

    # The head

    def checkpoint(self) -> str:
        """Return the signed head of the ledger."""
        with self._database.read() as db:
            key, tree = self._keyring.signer(db), KnownNodes(db).tree(size_of(db))
            return signed_head(key, self.workshop, tree)

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
            yield Tree(KnownNodes(db), size_of(db))


def place_of(tree: Tree, index: int, record: str, head: str) -> Place:
    """Return where a record stands, proven under a signed head of the tree."""
    return Place(index, record, head, checked_proof(tree, {index: record}))


def _placed(
    book: Book,
    batch: Batch,
    refused: list[Refusal],
    *,
    offset_ms: int | None,
    is_from_owner: bool,
    is_bounded: bool,
) -> dict[str, tuple[int, str]]:
    """Append the lines of a batch; return index and record of each by its id."""
    placed = {}
    book.expect([line.said for line in batch.lines])
    ahead = [line.said.seq for line in batch.lines if line.is_verified and book.is_ahead(line.said)]
    if ahead:
        book.go_on_above(max(ahead))
    for line in batch.lines:
        found = book.find(line.said.id)
        if found is None:
            try:
                if not line.is_verified:
                    book.admit(line.said, is_from_owner=is_from_owner)
                if is_bounded:
                    book.require_sight(line.said)
                    book.require_room(line.said)
            except LineRefused as why:
                refused.append(refusal(why, line=line.place, id=line.said.id))
                continue
            found = book.append(line.said, offset_ms)
        placed[line.said.id] = found
    return placed


def _receipt(
    book: Book, batch: Batch, placed: Mapping[str, tuple[int, str]], refused: list[Refusal]
) -> Receipt:
    kept = [(index, book.text(index)) for index in book.keep(batch.values)]
    unread = {line.said.id for line in batch.lines if not line.said.is_known}
    return Receipt(
        book.checkpoint(),
        {one: index for one, (index, _) in placed.items()},
        {one: stamp_of(text) for one, (_, text) in placed.items()},
        kept,
        checked_proof(book.tree, dict([*placed.values(), *kept])),
        refused,
        book.held(index for index, _ in placed.values()),
        [one for one in placed if one in unread],
    )


_STATEMENTS = """
select "index", record from entries join records using ("index")
where kind = ? and job is null and standing = 'good' order by "index"
"""
_JOB_RECORDS = """
select "index", record, standing, hash from entries join records using ("index")
join nodes on level = 0 and number = "index"
where job = ? and shown is not null order by "index"
"""
