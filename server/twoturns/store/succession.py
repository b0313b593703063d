"""
The workshop key changes hands: handed over, recovered with the key on paper, or taken up again.

The order of writes: the new key's file beside the old one, then the ledger's statement, then the
file in its place. Killed before the statement, the workshop has the old key, and a file that nobody
looks at; killed after it, whoever opens the workshop next puts the new file in its place.
"""

import copy
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from typing import TYPE_CHECKING, Any

from twoturns.ledger import base64url, entry, keys, recovery
from twoturns.ledger.entry import CONSOLE
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.keys import SigningKey
from twoturns.ledger.roster import Recovery, Roster
from twoturns.store import files
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.book import Book
from twoturns.store.errors import StoreError, WrongKey
from twoturns.store.ids import Ids
from twoturns.store.keyring import current_key
from twoturns.store.port import Connection
from twoturns.store.rebuild import rebuild_views
from twoturns.store.stored import stored
from twoturns.store.times import as_text
from twoturns.words import t
from twoturns.words.en.store import succession as words

if TYPE_CHECKING:
    from twoturns.store.store import Store


@dataclass(frozen=True)
class Undone:
    """What a recovery undid: by kind, how many statements of workshop keys count no more."""

    recovery: Recovery
    statements: dict[str, int]


@files.full_disk_is_told
def rotate(store: "Store", now: datetime) -> str:
    """
    Hand the workshop over to a new key, and return that; the one before signs for it.

    Raises:
        WrongKey: If the key file does not hold the workshop's key.
    """
    new = SigningKey.generate()
    with _successor(store, new, BlobFacts(store.blobs), now) as (db, _, book):
        old = store.keyring.signer(db)
        message = keys.succession_message(key=new.key, workshop=store.ledger.workshop)
        signed_by = {"key": old.key, "signature": base64url.encode(old.sign(message))}
        book.state("workshop.keyed", {**_named(store, new), "signed_by": signed_by})
    return new.key


@files.full_disk_is_told
def recover(
    store: "Store", paper: bytes, *, then: bytes, size: int | None, now: datetime
) -> Undone:
    """
    Put a new key in the place of one that is lost or stolen.

    Args:
        store: The workshop; its key is not needed.
        paper: The secret of the recovery key in force.
        then: The secret of the next recovery key, which the owner has on paper by now.
        size: How many records are trusted; None: all. What workshop keys stated after them counts
            no more.
        now: The time.

    Raises:
        StoreError: `wrong-paper`, `bad-size`.
    """
    new, signer = SigningKey.generate(), recovery.signing_key(paper)
    facts = BlobFacts.of_all(store.blobs, store.database)
    with _successor(store, new, facts, now) as (db, roster, book):
        size = book.tree.size if size is None else size
        _require(roster, signer, size, book.tree.size)
        following, root = recovery.signing_key(then).thumbprint, book.tree.root(size).hex()
        message = keys.recovery_message(
            key=new.key, recovery=following, root=root, size=size, workshop=store.ledger.workshop
        )
        said = {"key": signer.key, "signature": base64url.encode(signer.sign(message))}
        body = {"recovery": following, "recovered": {**said, "root": root, "size": size}}
        index, _ = book.state("workshop.keyed", {**_named(store, new), **body})
        undone = _undone(db, size, index)
        book.renew_views(partial(rebuild_views, db, store.ledger.workshop, facts))
        _state_kept(store, book, undone)
    done = store.ledger.roster().recoveries[-1]
    return Undone(done, Counter(one.kind for one in undone))


def check_recovery(store: "Store", paper: bytes, size: int | None) -> None:
    """Raise as `recover` would, before anybody writes the next recovery key on paper."""
    most = store.ledger.size()
    signer = recovery.signing_key(paper)
    _require(store.ledger.roster(), signer, most if size is None else size, most)


@files.full_disk_is_told
def commit(store: "Store", new: bytes, *, before: bytes | None, now: datetime) -> None:
    """
    Commit to a recovery key. The first one the console commits to; later ones the one before.

    Raises:
        StoreError: `wrong-paper`, if there is one in force and `before` is not it.
        WrongKey: If the key file does not hold the workshop's key.
    """
    thumbprint = recovery.signing_key(new).thumbprint
    body: dict[str, Any] = {"recovery": thumbprint}
    if before is not None:
        signer = recovery.signing_key(before)
        message = keys.commitment_message(recovery=thumbprint, workshop=store.ledger.workshop)
        body["signed_by"] = {"key": signer.key, "signature": base64url.encode(signer.sign(message))}
    in_force = store.ledger.roster().commitments
    if in_force and (before is None or signer.thumbprint != in_force[-1].recovery):
        raise _wrong_paper(in_force[-1].recovery)
    store.ledger.state("recovery.committed", body, now)
    in_force = store.ledger.roster().commitments
    if in_force[-1].recovery != thumbprint:
        raise _wrong_paper(in_force[-1].recovery)  # another command was quicker
    with store.transactions.succeeding() as (db, _):
        # The key file has the statement, too, in case an older backup comes back without it.
        key = store.keyring.signer(db)
        store.keyring.put_in_place(store.keyring.write_beside(key, _chain(db)))


def let_in_since(store: "Store", now: datetime) -> Iterator[tuple[int, str, str]]:
    """
    Yield what gives somebody a right, or takes one, since the recovery key in force was committed
    to, and still does something: place, time of receipt, and what it did, in words.

    A recovery that trusts all leaves it in force, and no later one can name an earlier place.
    """
    roster = store.ledger.roster()
    if not roster.commitments:
        return
    for row in store.database.rows(_LET_IN, [roster.commitments[-1].index]):
        said = stored(row["index"], row["record"]).entry
        if (does := _still_does(roster, row["index"], said, as_text(now))) is not None:
            yield row["index"], row["received"], does


def _still_does(roster: Roster, index: int, said: entry.Entry, now_at: str) -> str | None:
    """Say in words what a statement let somebody do, or None if it does nothing any more."""
    body, writer = said.wire_body, roster.device(said.device)
    by = (
        t(words.WORKSHOP_KEY)
        if writer is None or writer.role == CONSOLE
        else f"device {said.device}"
    )
    match said.wire_kind:
        case "device.invited":
            invited = roster.invitation(said.id)
            is_open = invited is not None and invited.used_by is None and now_at < invited.until
            return t(words.OPEN_INVITATION, role=body["role"], by=by) if is_open else None
        case "device.enrolled":
            came = roster.device(said.device)
            is_in = came is not None and (came.enrolled_at, came.revoked_at) == (index, None)
            return (
                t(words.DEVICE_CAME_IN, device=said.device, role=came.role)
                if came and is_in
                else None
            )
        case "device.revoked":
            return t(words.DEVICE_REVOKED, device=body["device"], by=by)
        case "device.serves":
            return t(
                words.DEVICE_SPEAKS_FOR_MORE,
                device=body["device"],
                persons=len(body["persons"]),
                by=by,
            )
        case "workshop.keyed":
            return t(words.KEY_CHANGED, key=body["key"])
    return t(words.RECOVERY_KEY_VOID, recovery=body["recovery"])


def stated(store: "Store", most: int) -> list[tuple[int, str, str]]:
    """Return the newest statements of workshop keys: place, time of receipt and kind, in order."""
    rows = store.database.rows(_STATED_LATELY, [most])
    return [(row["index"], row["received"], row["kind"]) for row in reversed(rows)]


def take_up(store: "Store") -> None:
    """
    See that the key file's key signs for this ledger; bring in what led to it, if that is lacking.

    That is so when an older backup was put back, and the key file of today beside it.

    Raises:
        WrongKey: If the key does not sign for the workshop, and nothing in its file leads to it.
    """
    try:
        with store.transactions.signing():
            pass
    except WrongKey:
        if not _led_to(store):
            raise


def _led_to(store: "Store") -> bool:
    held = store.keyring.read()
    try:
        chain = [entry.parse(line) for line in held.chain]
    except LedgerError as error:
        raise WrongKey(t(words.NOT_A_STATEMENT, error=str(error))) from error
    facts = BlobFacts.of_all(store.blobs, store.database)
    with store.transactions.succeeding() as (db, roster):
        now = datetime.now(UTC)
        ids = Ids()
        with Book(db, roster=roster, facts=facts, key=held.key, received=now, ids=ids) as book:
            lacking = [one for one in chain if book.find(one.id) is None]
            tried = copy.deepcopy(roster)
            for place, one in enumerate(lacking, book.tree.size):
                tried.apply(place, one)
            if tried.workshop_key != held.key.key:
                return False
            for one in lacking:
                book.append(one, 0)
        if len(tried.recoveries) > len(roster.recoveries):
            rebuild_views(db, store.ledger.workshop, facts)
    return True


@contextmanager
def _successor(
    store: "Store", new: SigningKey, facts: BlobFacts, now: datetime
) -> Iterator[tuple[Connection, Roster, Book]]:
    """Open the book for a new key; when it counts, its file takes the old one's place."""
    with store.transactions.succeeding() as (db, roster):
        with Book(db, roster=roster, facts=facts, key=new, received=now, ids=Ids()) as book:
            yield db, roster, book
        if current_key(db) != new.key:
            raise WrongKey(t(words.NEW_KEY_VOID, key=new.key))  # and nothing is written
        beside = store.keyring.write_beside(new, _chain(db))
    store.keyring.put_in_place(beside)


def _named(store: "Store", new: SigningKey) -> dict[str, str]:
    return {"key": new.key, "name": store.name}


def _chain(db: Connection) -> tuple[str, ...]:
    """Return the lines that lead from the workshop's first key to the one in force."""
    return tuple(stored(*row).entry.line for row in db.execute(_LED).fetchall())


def _require(roster: Roster, signer: SigningKey, size: int, most: int) -> None:
    """Say in words why a recovery would not count."""
    if not roster.commitments:
        raise StoreError(
            t(words.NO_RECOVERY_KEY),
            code="wrong-paper",
            hint=t(words.NO_RECOVERY_KEY_HINT),
        )
    in_force = roster.commitments[-1]
    if signer.thumbprint != in_force.recovery:
        raise _wrong_paper(in_force.recovery)
    if not in_force.index < size <= most:
        raise StoreError(
            t(words.SIZE_OUT_OF_RANGE, size=size, index=in_force.index + 1, most=most),
            code="bad-size",
            hint=t(words.SIZE_OUT_OF_RANGE_HINT),
        )


def _wrong_paper(recovery_key: str) -> StoreError:
    return StoreError(
        t(words.NOT_KEY_IN_FORCE),
        code="wrong-paper",
        hint=t(words.NOT_KEY_IN_FORCE_HINT, recovery_key=recovery_key),
    )


def _undone(db: Connection, size: int, index: int) -> list[entry.Entry]:
    rows = db.execute(_STATED, [size, index]).fetchall()
    said = [stored(*row).entry for row in rows]
    return [one for one in said if one.person == CONSOLE]


def _state_kept(store: "Store", book: Book, undone: list[entry.Entry]) -> None:
    """
    Say of the disk what is so: what the key before stated of blobs counts no more, so each that
    lies here whole is stated again. It is read in the transaction, once in the life of a key.
    """
    named = [
        blob["blob"] for one in undone if one.kind == "blob.kept" for blob in one.body["blobs"]
    ]
    here = [blob for blob in named if store.blobs.has(blob) and store.blobs.is_whole(blob)]
    book.keep({blob: store.blobs.size(blob) for blob in here})


_LED = """
select "index", record from entries join records using ("index")
where kind in ('workshop.keyed', 'recovery.committed') and "index" > 0 order by "index"
"""
_LET_IN = """
select "index", received, record from entries join records using ("index")
where "index" > ? and kind in ('device.invited', 'device.enrolled', 'device.revoked',
    'device.serves', 'workshop.keyed', 'recovery.committed') order by "index"
"""
_STATED_LATELY = """
select "index", received, kind from entries join devices using (device)
where role = 'console' order by "index" desc limit ?
"""
_STATED = """
select "index", record from entries join records using ("index")
where "index" >= ? and "index" < ? and job is null order by "index"
"""
