"""
The ledger, open for writing: what one transaction may do to it.

A `Book` lives inside `Database.write()`, in a `with` of its own. It appends records, grows the
tree, lets the views follow, and writes the workshop's own statements.
"""

import copy
import json
import secrets
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any, Self

from twoturns.ledger import checkpoint, entry
from twoturns.ledger.entry import CONSOLE, MAX_AFTER, Entry
from twoturns.ledger.errors import EnrolmentRefused
from twoturns.ledger.instants import instant
from twoturns.ledger.keys import SigningKey
from twoturns.ledger.receipt import Receipt
from twoturns.ledger.record import Record
from twoturns.ledger.roster import Roster
from twoturns.ledger.tree import Tree, leaf_hash, peaks
from twoturns.store import erasures, sight
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.errors import LineRefused
from twoturns.store.ids import Ids
from twoturns.store.port import Connection
from twoturns.store.projector import Projector
from twoturns.store.stored import stored
from twoturns.store.times import as_text
from twoturns.words import t
from twoturns.words.en.store import book as words

SCHEMA = """
create table if not exists records (
    "index" integer primary key, id text not null, record text not null) strict;
create table if not exists nodes (
    level integer not null, number integer not null, hash blob not null,
    primary key (level, number)) strict, without rowid;
"""
# What a revoked device may still send, in all, until the owner accepts some of it. A phone that
# worked a year without a line brings 1,121 entries of some 900 bytes (`tests.faults --year-away`).
MOST_HELD = 2_000
MOST_HELD_BYTES = 4 * 2**20
# What one device may send in a day of what only a newer program can read: some 1,000 entries.
MOST_UNREAD_BYTES = 2**20
BLOBS_A_RECORD = 400  # of at most 500 that a `blob.kept` may name: its line stays under 64 KiB


class Nodes:
    """The tree's nodes in the database."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def get(self, level: int, number: int) -> bytes:
        row = self._db.execute(
            "select hash from nodes where level = ? and number = ?", [level, number]
        ).fetchone()
        return bytes(row[0])

    def put(self, level: int, number: int, node: bytes) -> None:
        self._db.execute("insert into nodes values (?, ?, ?)", [level, number, node])


class KnownNodes(Nodes):
    """As `Nodes`, for one transaction: each is read once. Paths to a root share most of them."""

    def __init__(self, db: Connection) -> None:
        super().__init__(db)
        self._known: dict[tuple[int, int], bytes] = {}

    def get(self, level: int, number: int) -> bytes:
        if (level, number) not in self._known:
            self._known[level, number] = super().get(level, number)
        return self._known[level, number]

    def tree(self, size: int, *earlier: int) -> Tree:
        """Return the tree of a size; what its root and earlier ones are made of is read at once."""
        self._read({place for each in (size, *earlier) for place in peaks(each)})
        return Tree(self, size)

    def proving(self, size: int, indices: Iterable[int]) -> Tree:
        """
        Return the tree of a size in which these records are going to be proved. On a server what
        that takes is read at once, as each statement is a way there and back; in a file a node is
        read sooner than it is foreseen.
        """
        if not self._db.is_embedded:
            asked = _Asked()
            tree = Tree(asked, size)
            tree.root()
            tree.inclusion_of(indices, size)
            self._read(asked.places)
        return Tree(self, size)

    def _read(self, places: Iterable[tuple[int, int]]) -> None:
        packed = [level << _NUMBER_BITS | number for level, number in places]
        rows = self._db.execute(_NODES, [json.dumps(packed)])
        self._known.update({(level, number): node for level, number, node in rows})


class _Asked:
    """Which nodes a root or a proof is made of, whatever they are."""

    def __init__(self) -> None:
        self.places: set[tuple[int, int]] = set()

    def get(self, level: int, number: int) -> bytes:
        self.places.add((level, number))
        return b""

    def put(self, level: int, number: int, node: bytes) -> None:
        raise NotImplementedError


class _Growing(KnownNodes):
    """And what is added is written at the end, all at once."""

    def __init__(self, db: Connection) -> None:
        super().__init__(db)
        self._later = db.later

    def put(self, level: int, number: int, node: bytes) -> None:
        self._known[level, number] = node
        self._later("insert into nodes values (?, ?, ?)", (level, number, node))


class Book:
    """
    The ledger, open for writing: lives inside one transaction, and ends before it (`with`), when
    what is cheaper all at once is written.
    """

    def __init__(
        self,
        db: Connection,
        *,
        roster: Roster,
        facts: BlobFacts,
        key: SigningKey,
        received: datetime,
        ids: Ids,
    ) -> None:
        self._db, self._roster, self._facts, self._key = db, roster, facts, key
        self._received, self._ids = as_text(received), ids
        ids.catch_up(db)
        self._projector = Projector(db, roster, facts, ids)
        self._found: dict[str, tuple[int, str] | None] = {}
        self._shut: dict[str, bool] = {}
        self._held: dict[str, tuple[int, int]] = {}
        self._unread: dict[str, int] = {}
        self._shown: set[int] = set()  # of what has come in here
        self._day_ago = as_text(received - timedelta(days=1))
        self._head: tuple[int, str] | None = None
        self.tree = _Growing(db).tree(size_of(db))

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        if kind is None:
            self._write()

    def _write(self) -> None:
        self._projector.finish()

    def renew_views(self, rebuild: Callable[[], None]) -> None:
        """Have the views made anew in between: what was remembered of them goes."""
        self._write()
        rebuild()
        self._ids.forget()
        self._ids.catch_up(self._db)
        self._projector = Projector(self._db, self._roster, self._facts, self._ids)
        self._found.clear()
        self._shut.clear()
        self._shown.clear()

    def expect(self, entries: Sequence[Entry]) -> None:
        """Ask at once what entries that may come in are going to be asked for one by one."""
        self._projector.expect([one.id for one in entries])
        new = [one.id for one in entries if self._projector.is_above_all(one)]
        self._found.update(dict.fromkeys(new))

    def find(self, entry_id: str) -> tuple[int, str] | None:
        """Return the index and the record of an entry that is in the ledger."""
        if entry_id in self._found:
            return self._found[entry_id]
        index = self._ids.index_of(self._db, entry_id)
        return None if index is None else (index, self.text(index))

    def append(self, said: Entry, offset_ms: int | None) -> tuple[int, str]:
        """Append an entry whose signature was checked; return its index and its record."""
        record = Record(self._received, offset_ms, said)
        text = record.text
        index = self.tree.append(leaf_hash(text.encode()))
        self._db.later("insert into records values (?, ?, ?)", (index, said.id, text))
        if self._projector.apply(index, record):
            self._shown.add(index)
        self._found[said.id] = (index, text)
        if said.job is None:
            self._shut.clear()  # it may be what shuts a device out
        if said.kind == "device.enrolled":
            self._withdraw_again(said.device)
        return index, text

    def let_in(self, enrolment: Entry, receipt: Receipt | None) -> tuple[int, str]:
        """
        Append a new device's enrolment; with a receipt also one that the ledger had before it was
        put back, and the invitation that is lost with it.

        Raises:
            EnrolmentRefused: If it follows from no open invitation, nor from one that it shows.
        """
        try:
            self._roster.check_enrolment(enrolment, self._received)
        except EnrolmentRefused:
            if receipt is None:
                raise
            self._bring_back_invitation(enrolment, receipt)
        return self.append(enrolment, None)

    def _bring_back_invitation(self, enrolment: Entry, receipt: Receipt) -> None:
        """Append the invitation if it is lost, once it is clear that the enrolment counts then."""
        invitation = receipt.invitation_of(enrolment, self._roster)
        is_lost = self.find(invitation.id) is None
        tried = copy.deepcopy(self._roster)
        if is_lost:
            tried.apply(self.tree.size, invitation)
        tried.check_enrolment(enrolment, None)
        if self.is_ahead(invitation):
            self.go_on_above(invitation.seq)
        if is_lost:
            self.append(invitation, None)

    def _withdraw_again(self, device: str) -> None:
        """
        State a revocation anew that came back, after a restore, before what it revokes.

        It changed nothing then, for nobody of that name was in.
        """
        said = [stored(*row).entry for row in self._db.execute(_REVOCATIONS).fetchall()]
        named = [one.body for one in said if one.body["device"] == device]
        known = self._roster.device(device)
        if named and known is not None and known.revoked_at is None:
            self.state("device.revoked", dict(named[-1]))

    def admit(self, said: Entry, *, is_from_owner: bool) -> None:
        """
        Check that a key that was ever enrolled here signed an entry.

        An enrolment brings its own key: it goes in when it counts. A new workshop key comes from
        nobody but the workshop's own computer (`succession`). After a restore phones offer old
        enrolments again, whose invitations are over by then; from anyone but an owner such a one is
        refused, or an old link that was never used would let its finder in for ever.

        Raises:
            LineRefused: `succession`, `unknown-device`, `wrong-signature`, `invitation-over`.
        """
        if said.kind == "workshop.keyed":
            raise LineRefused("succession", t(words.KEY_FROM_OUTSIDE))
        key = self._roster.key_of(said)
        if key is None or not self._is_in(said):
            raise LineRefused("unknown-device", t(words.DEVICE_UNKNOWN, device=said.device[:12]))
        if not entry.verify(said, key):
            raise LineRefused("wrong-signature", t(words.WRONG_SIGNATURE, device=said.device[:12]))
        if said.kind == "device.enrolled" and not is_from_owner:
            invited = self._roster.invitation(said.body["invitation"])
            if invited is not None and self._received >= invited.until:
                raise LineRefused(
                    "invitation-over", t(words.INVITATION_OVER, until=instant(invited.until))
                )

    def _is_in(self, said: Entry) -> bool:
        """Say whether the device of an entry is enrolled, or comes in by this one."""
        if self._roster.device(said.device) is not None:
            return True
        try:
            self._roster.check_enrolment(said, None)
        except EnrolmentRefused:
            return False
        return True

    def require_room(self, said: Entry) -> None:
        """
        Check that more is taken of the device that signed an entry: of a revoked one so much is
        held back and no more, of one that was shut out nothing; of what nobody here can read so
        much a day.

        Raises:
            LineRefused: `held-full`, `device-shut`, `unread-full`.
        """
        device = self._roster.device(said.device)
        name = said.device[:12]
        if self._is_shut(said.device):
            raise LineRefused("device-shut", t(words.DEVICE_SHUT_OUT, name=name))
        if not said.is_known:
            self._require_room_unread(said)
        if device is None or device.revoked_at is None:
            return
        if said.device not in self._held:
            self._held[said.device] = self._db.execute(_HELD, [said.device]).fetchone()
        count, size = self._held[said.device]
        size += len(said.line)
        if count >= MOST_HELD or size > MOST_HELD_BYTES:
            raise LineRefused("held-full", t(words.HELD_FULL, name=name))
        self._held[said.device] = (count + 1, size)

    def _is_shut(self, device: str) -> bool:
        if device not in self._shut:
            row = self._db.execute("select 1 from shut where device = ?", [device]).fetchone()
            self._shut[device] = row is not None
        return self._shut[device]

    def _require_room_unread(self, said: Entry) -> None:
        if said.device not in self._unread:
            (size,) = self._db.execute(_UNREAD, [said.device, self._day_ago]).fetchone()
            self._unread[said.device] = size
        size = self._unread[said.device] + len(said.line)
        if size > MOST_UNREAD_BYTES:
            raise LineRefused(
                "unread-full",
                t(words.UNREAD_FULL, device=said.device[:12]),
            )
        self._unread[said.device] = size

    def require_sight(self, said: Entry) -> None:
        """
        Check that an auditor's device writes where it may read, and while it may.

        Raises:
            LineRefused: `access-over`, `not-found`.
        """
        device = self._roster.device(said.device)
        if device is None or device.role != "auditor":
            return
        if sight.is_over(device.scope, self._received):
            raise LineRefused("access-over", t(words.ACCESS_OVER))
        seen = sight.scope_of(device.scope or {}, said.device)
        for job in (said.job, said.body.get("about")):
            if job is not None and not sight.sees_job(self._db, job, seen):
                raise LineRefused("not-found", t(words.NO_SUCH_JOB, job=job))

    def held(self, indices: Iterable[int]) -> dict[str, str]:
        """Return the standing, by id, of those of these entries that are held back."""
        asked = [index for index in indices if index not in self._shown]
        return dict(self._db.execute(_HELD_OF, [json.dumps(asked)]).fetchall()) if asked else {}

    def is_ahead(self, said: Entry) -> bool:
        """
        Say whether the workshop key signed what the ledger has not come to: it was put back.

        Nobody else can make such an entry, so this needs no word of the one who brings it.
        """
        return (
            said.device == self._key.thumbprint
            and said.seq >= self._next_seq()
            and self.find(said.id) is None
        )

    def go_on_above(self, highest: int = 0) -> None:
        """
        Let the workshop key number its statements anew, far above all that it ever signed.

        `highest` is the highest number that a phone has just brought back: of two restores of one
        backup the first may have leapt further, and what it said of its disk must not count here.

        After a restore it does not know what it signed since the backup, and phones do. With the
        same number twice both statements would be *forked*, as if the key had been copied; and
        what the key said of the disk that is gone (`blob.kept`, `backup.made`) must be told from
        what it says of this one: by a number below one that stands before it. How far is left to
        chance, and not to a clock, so that two restores of one backup do not meet either.
        """
        says = t(words.GOES_ON_FROM_BACKUP, size=self.tree.size)
        first = str(self._db.execute('select id from records where "index" = 0').fetchone()[0])
        seq = max(self._next_seq(), highest) + (1 << 32) + secrets.randbelow(1 << 40)
        # The first statement up there stands alone, a gap; the second says that this is right.
        _, marked = self.state("work.accepted", {"because": says, "entries": [first]}, seq)
        self.state("work.accepted", {"because": says, "entries": [marked.id]})

    def begin_rules(self, edition: int) -> None:
        """Let the rules of an edition hold from here on, in a workshop that was begun before it."""
        if self.tree.size and self._roster.edition_at(self.tree.size) < edition:
            self.state("rules.began", {"edition": edition})

    def state(self, kind: str, body: dict[str, Any], seq: int | None = None) -> tuple[int, Entry]:
        """Append a statement of the workshop's own, signed by the workshop key."""
        said = entry.sign(
            {
                "after": self._heads(),
                "at": self._received,
                "body": body,
                "job": None,
                "kind": kind,
                "person": CONSOLE,
                "seq": self._next_seq() if seq is None else seq,
                "workshop": self._roster.workshop,
            },
            self._key,
        )
        return self.append(said, 0)[0], said

    def carry_out_orders(self) -> list[Entry]:
        """State that blobs are erased whose order is due now; return the statements."""
        why = {
            blob: {"reason": row["reason"], "basis": row["basis"]}
            for order, row in erasures.due(self._db, self._received)
            for blob in order.blobs
        }
        return [self.state("blob.erased", {"blob": blob, **why[blob]})[1] for blob in why]

    def keep(self, wanted: Mapping[str, int]) -> list[int]:
        """
        State that blobs, whose size in bytes stands beside each, are kept; return the indices of
        the records that say so of `wanted`.
        """
        new = [blob for blob in wanted if self._kept_at(blob) is None]
        for start in range(0, len(new), BLOBS_A_RECORD):
            part = new[start : start + BLOBS_A_RECORD]
            said = [{"blob": blob, "size": wanted[blob]} for blob in part]
            self.state("blob.kept", {"blobs": said})
        found = (self._kept_at(blob) for blob in wanted)
        return sorted({index for index in found if index is not None})

    def checkpoint(self) -> str:
        """Sign the head of the ledger as it will be once this transaction is on the disk."""
        if self._head is None or self._head[0] != self.tree.size:
            note = signed_head(self._key, self._roster.workshop, self.tree)
            self._head = (self.tree.size, note)
        return self._head[1]

    def text(self, index: int) -> str:
        row = self._db.execute('select record from records where "index" = ?', [index]).fetchone()
        return str(row[0])

    def _kept_at(self, blob: str) -> int | None:
        row = self._db.execute('select "index" from kept where blob = ?', [blob]).fetchone()
        return None if row is None else int(row[0])

    def _heads(self) -> list[str]:
        rows = self._db.execute(
            'select id from heads order by "index" desc limit ?', [MAX_AFTER]
        ).fetchall()
        return [row[0] for row in rows]

    def _next_seq(self) -> int:
        row = self._db.execute(
            "select max(seq) from entries where device = ?", [self._key.thumbprint]
        ).fetchone()
        return int(row[0] or 0) + 1


_NUMBER_BITS = 48  # of one number for level and number: both engines take that apart, by index
_NODES = f"""
select level, number, hash from json_each(?) as listed cross join nodes
where level = cast(listed.value as bigint) >> {_NUMBER_BITS}
    and number = cast(listed.value as bigint) & {(1 << _NUMBER_BITS) - 1}
"""  # noqa: S608 - constants only
_HELD_OF = """
select id, standing from entries
where "index" in (select cast(value as bigint) from json_each(?)) and shown is null
"""
_HELD = """
select count(*), coalesce(sum(length(record)), 0)
from entries join records using ("index") where device = ? and shown is null
"""

_UNREAD = """
select coalesce(sum(length(record)), 0) from entries join records using ("index")
where device = ? and kind = 'unread' and received > ?
"""
_REVOCATIONS = """
select "index", record from entries join records using ("index")
where kind = 'device.revoked' and job is null and standing = 'good' order by "index"
"""


def size_of(db: Connection) -> int:
    """Return the number of records."""
    row = db.execute('select coalesce(max("index") + 1, 0) from records').fetchone()
    return int(row[0])


def signed_head(key: SigningKey, workshop: str, tree: Tree) -> str:
    """Return the signed checkpoint of a tree."""
    return checkpoint.sign(key, workshop, tree.size, tree.root())
