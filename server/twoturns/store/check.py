"""
Whether a ledger's file holds what was written to it.

A record is what it was when its hash is the tree's leaf at its place, every node is the hash of
the two below it, and the root is one that was signed. Who wrote it is asked of its signature.
Nothing found here is ever repaired: evidence is evidence.
"""

import hashlib
import json
import random
from collections.abc import Iterable, Iterator, Mapping
from functools import partial
from itertools import islice
from typing import Final, TypeVar

from twoturns.ledger import entry, keys
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.record import parse
from twoturns.ledger.roster import ROSTER_KINDS
from twoturns.ledger.tree import Tree, leaf_hash, verify_inclusion_of
from twoturns.store import book
from twoturns.store.cores import on_all_cores
from twoturns.store.errors import RESTORE, Damaged
from twoturns.store.port import Connection
from twoturns.store.stored import damaged
from twoturns.words import t
from twoturns.words.en.store import check as words

T = TypeVar("T")
LOOKED_AT: Final = 1_000
AT_ONCE: Final = 1_000
BRINGS_A_KEY = ("workshop.keyed", "device.enrolled")


def checked_records(db: Connection, start: int = 0) -> Iterator[tuple[int, str]]:
    """
    Yield index and text of all records from an index on; each, and every node above it, is compared
    on the way. Below `start` nothing is looked at: the tree of what stands there is taken as it is.

    Raises:
        Damaged: At the first record that does not match its id or the tree.
    """
    nodes = _NodesAsTheyStand(db)
    tree = Tree(nodes, start)
    for rows in _records(db, start):
        nodes.look_ahead(tree.size, len(rows))
        for index, entry_id, text in rows:
            if index != tree.size or _id_in(text) != entry_id:
                raise damaged(tree.size)
            tree.append(leaf_hash(text.encode()))
            yield index, text
    if nodes.has_leaf_from(tree.size):
        raise damaged(tree.size)


def check_signatures(records: Iterable[tuple[int, str]], workshop: str, start: int = 0) -> int:
    """
    Check who signed every record from an index on; return how many records there are.

    A device's name is the thumbprint of its key, so the right key is any of that name that a
    statement before brought. Whether it might write what it wrote is its standing, not asked here.

    Raises:
        Damaged: If a record is of another workshop, or its device's key did not sign it.
    """
    known: dict[str, str] = {}
    size = 0

    def pieces() -> Iterator[_Piece]:
        nonlocal size
        for some in in_pieces(records):
            size = some[-1][0] + 1
            _note_keys(some, known)
            new = [one for one in some if one[0] >= start]
            if new:
                yield new, {**known}

    for unsigned in on_all_cores(partial(_first_unsigned, workshop), pieces()):
        if unsigned is not None:
            raise _unsigned(unsigned)
    return size


_Piece = tuple[list[tuple[int, str]], dict[str, str]]  # records, and keys by device


def _note_keys(records: list[tuple[int, str]], known: dict[str, str]) -> None:
    for index, text in records:
        if any(f'"kind":"{kind}"' in text for kind in BRINGS_A_KEY):
            try:
                said = parse(text).entry
            except LedgerError as error:
                raise _unsigned(index) from error
            if said.kind in BRINGS_A_KEY:
                known.setdefault(keys.thumbprint(said.body["key"]), said.body["key"])


def _first_unsigned(workshop: str, piece: _Piece) -> int | None:
    """Return the index of the first record that its device's key did not sign, if there is one."""
    records, known = piece
    for index, text in records:
        try:
            said = parse(text).entry
        except LedgerError:
            return index
        key = known.get(said.device)
        if said.workshop != workshop or key is None or not entry.verify(said, key):
            return index
    return None


def checked_proof(tree: Tree, records: Mapping[int, str]) -> list[bytes]:
    """
    Return the proof of records, by index, after seeing that it leads from them to the tree's root.

    So nothing leaves the workshop that the tree does not hold, nor a proof that a reader would
    refuse: a changed byte in a record, or in a node that the proof or the root goes over, is found
    where it is read. 500 records in a row cost a millisecond.

    Raises:
        Damaged: If it does not.
    """
    proof = tree.inclusion_of(records, tree.size)
    leaves = {index: leaf_hash(text.encode()) for index, text in records.items()}
    if leaves and not verify_inclusion_of(leaves, tree.size, proof, tree.root()):
        raise damaged(next((i for i in sorted(leaves) if tree.leaf(i) != leaves[i]), min(leaves)))
    return proof


def look_over(db: Connection, most: int = LOOKED_AT) -> None:
    """
    Look at the newest records, as many others by chance, and all that keys and roles hang on.

    Raises:
        Damaged: If one of them is not what it was.
    """
    tree = Tree(book.Nodes(db), book.size_of(db))
    newest = range(max(0, tree.size - most), tree.size)
    keys_and_roles = {index for (index,) in db.execute(_OF_THE_ROSTER).fetchall()}
    chance = random.sample(range(tree.size), min(most, tree.size))
    chosen = {*newest, *chance, *keys_and_roles}
    rows = db.execute(_THESE, [json.dumps(sorted(chosen))]).fetchall()
    if len(rows) != len(chosen):
        raise damaged(min(chosen - {index for index, _ in rows}))
    checked_proof(tree, dict(rows))


class _NodesAsTheyStand(book.Nodes):
    """The tree on disk: putting a node into it only compares."""

    def __init__(self, db: Connection) -> None:
        super().__init__(db)
        self._ahead: dict[tuple[int, int], bytes] = {}

    def look_ahead(self, size: int, count: int) -> None:
        """Read at once the nodes that so many more leaves complete."""
        self._ahead.clear()
        for level in range((size + count).bit_length()):
            first, end = size >> level, (size + count) >> level
            rows = self._db.execute(_NODES, [level, first, end]).fetchall()
            self._ahead.update({(level, number): node for number, node in rows})

    def get(self, level: int, number: int) -> bytes:
        return self._ahead.get((level, number)) or super().get(level, number)

    def put(self, level: int, number: int, node: bytes) -> None:
        if self._ahead.get((level, number)) != node:
            raise damaged(number << level)

    def has_leaf_from(self, size: int) -> bool:
        return self._db.execute(_NODES, [0, size, 1 << 62]).fetchone() is not None


def _unsigned(index: int) -> Damaged:
    return Damaged(
        t(words.RECORD_UNSIGNED, index=index),
        hint=RESTORE,
    )


def _id_in(text: str) -> str:
    """Return the id of the entry in a record: the hash of its JSON."""
    return hashlib.sha256(text.split(" ", 3)[-1].encode()).hexdigest()


def _records(db: Connection, start: int) -> Iterator[list[tuple[int, str, str]]]:
    """Yield index, id and text of all records from an index on, a thousand at a time."""
    while rows := db.execute(_SOME, [start]).fetchall():
        yield rows
        start = rows[-1][0] + 1


def in_pieces(rows: Iterable[T]) -> Iterator[list[T]]:
    """Yield records, or other rows, some at a time."""
    following = iter(rows)
    while some := list(islice(following, AT_ONCE)):
        yield some


_NODES = "select number, hash from nodes where level = ? and number >= ? and number < ?"
_SOME = f"""
select "index", id, record from records where "index" >= ? order by "index" limit {AT_ONCE}
"""  # noqa: S608 - constants only
_OF_THE_ROSTER = f"""
select "index" from entries where job is null
    and kind in ({",".join(repr(kind) for kind in ROSTER_KINDS)})
"""  # noqa: S608 - constants only
_THESE = """
select "index", record from records
where "index" in (select cast(value as bigint) from json_each(?))
"""
