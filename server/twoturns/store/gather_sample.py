"""Gathering what proves a sample: its freeze, its draw, and what was found in it (`bag.sheet`)."""

from typing import Final

from twoturns.bag.sheet import Drawn, drawn_by, sheet_files
from twoturns.ledger import checkpoint
from twoturns.ledger.entry import Entry
from twoturns.ledger.record import Record
from twoturns.ledger.tree import Tree
from twoturns.store.book import KnownNodes
from twoturns.store.check import checked_proof
from twoturns.store.errors import StoreError
from twoturns.store.key_chain import Records, led_to
from twoturns.store.port import Connection, rows_of
from twoturns.store.store import Store
from twoturns.store.stored import stored
from twoturns.words import t
from twoturns.words.en.store import gather_sample as words

_OF_KEYS: Final = (
    *("workshop.keyed", "recovery.committed", "rules.began"),
    *("device.invited", "device.enrolled", "device.revoked", "device.serves", "device.shut"),
)
_OF_AUDITS: Final = ("audit.frozen", "audit.drawn", "audit.found", "audit.answered", "audit.closed")


def sheet_of(store: Store, freeze: str) -> tuple[Drawn, dict[str, bytes]]:
    """
    Return the sample of a freeze, and the files of its sheet as the ledger stands now.

    Args:
        store: The workshop.
        freeze: The id of an `audit.frozen`.

    Raises:
        StoreError: `unknown-sample`, if there is no such freeze, or nothing was drawn by it yet.
        Damaged: If a record of it is not what it was.
    """
    note = store.ledger.checkpoint()
    head = checkpoint.open(note, store.ledger.key, store.ledger.workshop)
    with store.database.read() as db:
        statements = {i: one for i, one in _statements(db).items() if i < head.size}
        chosen = _of_sample(statements, freeze)
        drawn = _drawn(chosen, freeze, head.size)
        chosen |= led_to(statements, {one.entry.device for one in chosen.values()})
        tree = Tree(KnownNodes(db), head.size)
        checked_proof(tree, {index: one.text for index, one in chosen.items()})
        paths = {index: tuple(tree.inclusion(index, head.size)) for index in chosen}
        frozen_size = drawn.frozen[1].entry.body["size"]
        grew = tuple(tree.consistency(frozen_size, head.size)) if frozen_size <= head.size else ()
    return drawn, sheet_files(chosen, paths, head, note, grew)


def no_such_sample() -> StoreError:
    """Return what is said of a freeze that drew nothing, or that the asker is not shown."""
    return StoreError(
        t(words.NO_SUCH_SAMPLE), hint=t(words.NO_SUCH_SAMPLE_HINT), code="unknown-sample"
    )


def _statements(db: Connection) -> Records:
    kinds = ",".join(repr(kind) for kind in (*_OF_KEYS, *_OF_AUDITS))
    sql = _STATEMENTS.format(kinds=kinds)
    return {row["index"]: stored(row["index"], row["record"]) for row in rows_of(db, sql, {})}


def _of_sample(statements: Records, freeze: str) -> Records:
    """Return the freeze, what names it, and what names a finding that does."""
    ids = {freeze}
    chosen: Records = {}
    for index, one in sorted(statements.items()):
        said = one.entry
        names = {said.body.get("freeze"), said.body.get("finding"), said.id}
        if said.kind in _OF_AUDITS and not ids.isdisjoint(names):
            chosen[index] = one
            ids.add(said.id)
    return chosen


def _drawn(chosen: Records, freeze: str, size: int) -> Drawn:
    frozen = next((i for i, one in chosen.items() if _is_freeze(one, freeze)), size)
    # Only a word draws that who froze gave after it, and the first alone.
    draws = (i for i, one in chosen.items() if i > frozen and _draws(one, chosen[frozen].entry))
    said = next(draws, None)
    if said is None:
        raise no_such_sample()
    jobs = drawn_by(chosen[frozen].entry, chosen[said].entry)
    return Drawn((frozen, chosen[frozen]), (said, chosen[said]), jobs, size)


def _is_freeze(one: Record, freeze: str) -> bool:
    return one.entry.kind == "audit.frozen" and one.entry.id == freeze


def _draws(one: Record, freeze: Entry) -> bool:
    return (
        one.entry.kind == "audit.drawn"
        and one.entry.body["freeze"] == freeze.id
        and one.entry.person == freeze.person
    )


_STATEMENTS = """
select "index", record from entries join records using ("index", id)
where job is null and kind in ({kinds})
    and (has_right = 1 or standing = 'good' or kind = 'device.enrolled') order by "index"
"""
