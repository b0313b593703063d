"""
What one more record costs the tree: counted in statements and nodes, at 5,000 records and at
5,000,000, on either engine. Times would measure the machine.

A forest of the complete subtrees over n leaves has 2n - popcount(n) nodes (each leaf brings itself
and, with each carry of the binary counter, one parent: RFC 6962, section 2.1). The rightmost ones,
popcount(n) of them, are all that an append reads; so nothing else need be there to measure it.
"""

import hashlib
import itertools
from collections import Counter
from contextlib import suppress

import pytest

from twoturns.ledger.tree import Tree, leaf_hash, peaks, verify_inclusion_of
from twoturns.store.book import Nodes, _Growing
from twoturns.store.store import Store
from workshop import NOON

FEW, MANY = 5_000, 5_000_000
BATCH, BATCHES = 50, 64
_numbers = itertools.count()


class Counting:
    """A connection that counts what is asked of it: statements, rows that came, rows written."""

    def __init__(self, db) -> None:
        self._db, self.counted = db, Counter()

    def execute(self, sql, parameters=None):
        rows = self._db.execute(sql, parameters).fetchall()
        self.counted.update(statements=1, read=len(rows))
        return Fetched(rows)

    def later(self, sql, row):
        self.counted.update(written=1)
        self._db.later(sql, row)


class Fetched(list):
    """Rows that were fetched."""

    def fetchone(self):
        return next(iter(self), None)

    def fetchall(self):
        return self


@pytest.fixture(params=["sqlite", "postgresql"])
def database(request, tmp_path, monkeypatch):
    if request.param == "postgresql":
        monkeypatch.setenv("TWOTURNS_LEDGER", request.getfixturevalue("postgres").url)
    folder = tmp_path / f"tree-{next(_numbers)}"
    database = Store.create(folder, "Workshop at the Weir", NOON).database
    with database.write() as db:
        db.execute("delete from nodes")
    return database


def cost_from(database, size: int) -> list[Counter]:
    """Return what each batch costs, in a tree that begins with so many records."""
    costs = []
    with suppress(ZeroDivisionError), database.write() as db:
        for level, number in peaks(size):
            node = hashlib.sha256(f"{level} {number}".encode()).digest()
            db.execute("insert into nodes values (?, ?, ?)", (level, number, node))
        for start in range(size, size + BATCH * BATCHES, BATCH):
            counting = Counting(db)
            tree = _Growing(counting).tree(start)
            leaves = {n: leaf_hash(str(n).encode()) for n in range(start, start + BATCH)}
            for leaf in leaves.values():
                tree.append(leaf)
            proof = tree.inclusion_of(leaves, tree.size)
            assert verify_inclusion_of(leaves, tree.size, proof, tree.root())
            costs.append(counting.counted)
        raise ZeroDivisionError  # the next size begins with none of these nodes
    return costs


def nodes_of(size: int) -> int:
    return 2 * size - size.bit_count()


def test_an_append_costs_the_same_in_a_tree_of_five_million(database):
    few, many = (cost_from(database, size) for size in (FEW, MANY))
    for size, costs in ((FEW, few), (MANY, many)):
        grown = size + BATCH * BATCHES
        # Written: what the records themselves make, and no node twice.
        assert sum(one["written"] for one in costs) == nodes_of(grown) - nodes_of(size)
        # Read: the rightmost subtrees alone, at once; nothing by and by.
        assert [one["statements"] for one in costs] == [1] * BATCHES
        starts = range(size, grown, BATCH)
        assert [one["read"] for one in costs] == [start.bit_count() for start in starts]
    # In all: a thousandfold of records, and one node in a hundred more or less.
    read_and_written = [sum(sum(one.values()) for one in costs) for costs in (few, many)]
    assert read_and_written[1] / read_and_written[0] == pytest.approx(1, abs=0.05)


def test_a_proof_of_any_record_reads_a_path_and_no_more(database):
    """Of 5,000,000: at most one node for each level, as RFC 6962, section 2.1.1, has it."""
    with database.write() as db:
        for level, number in path_of(1_234_567, MANY):
            db.execute("insert into nodes values (?, ?, ?)", (level, number, bytes(32)))
    with database.read() as db:
        counting = Counting(db)
        path = Tree(Nodes(counting), MANY).inclusion(1_234_567, MANY)
    assert len(path) <= MANY.bit_length()
    assert counting.counted["read"] <= 2 * MANY.bit_length()


def path_of(index: int, size: int) -> set[tuple[int, int]]:
    """Return all complete subtrees beside the way from a leaf to the root, and the rightmost."""
    beside = {(level, (index >> level) ^ 1) for level in range(size.bit_length())}
    whole = {(level, number) for level, number in beside if (number + 1) << level <= size}
    return whole | set(peaks(size))
