"""
One workshop twice, its ledger in SQLite and in PostgreSQL: what comes in goes into both, and what
comes out is the same, byte for byte. Each engine is the other's oracle.
"""

import random
import shutil
from dataclasses import dataclass

import pytest

from every_route import history, questions
from odd_logs import in_two_jobs
from twoturns.ledger.keys import SigningKey
from twoturns.store import projector
from twoturns.store.summaries import renew
from workshop import Workshop, clients, rows_of_table

pytestmark = [
    pytest.mark.slow(15),
    pytest.mark.embedded("it has a workshop in either engine already"),
]

TABLES = (*projector.TABLES, "records", "nodes")


@dataclass(frozen=True)
class Twins:
    """Two workshops with one key. What is written into the first is written into both."""

    first: Workshop
    second: Workshop

    def views(self) -> list[dict[str, list[tuple]]]:
        return [
            {table: rows_of_table(one.store, table) for table in TABLES}
            for one in (self.first, self.second)
        ]


@pytest.fixture
def twins(postgres, tmp_path, monkeypatch) -> Twins:
    key = SigningKey.generate()
    with monkeypatch.context() as patched:
        patched.setattr(SigningKey, "generate", classmethod(lambda _: key))
        first = Workshop(tmp_path / "sqlite" / "data")
        second = Workshop(tmp_path / "postgresql" / "data", ledger=postgres.new_ledger())
    into_first = first.store.transactions.run
    into_second = second.store.transactions.run

    def into_both(act, facts, received):
        came_of_it = into_first(act, facts, received)
        assert into_second(act, facts, received) == came_of_it
        return came_of_it

    monkeypatch.setattr(first.store.transactions, "run", into_both)
    return Twins(first, second)


@pytest.mark.parametrize("seed", range(3))
def test_receipts_views_and_root_are_the_same_whatever_comes_in(twins, seed):
    rng, shop = random.Random(seed), twins.first
    owner, *phones = (shop.enrol(role) for role in ("owner", "mechanic", "mechanic"))
    said = in_two_jobs(rng, owner, phones)
    while said:
        some, said = said[: (size := rng.randrange(1, 40))], said[size:]
        shop.push(*some)  # the receipts of both are compared as they come
    embedded, served = twins.views()
    assert served == embedded
    assert twins.second.store.ledger.checkpoint() == shop.store.ledger.checkpoint()
    twins.second.store.rebuild()
    assert twins.views()[1] == embedded


def test_every_route_answers_everybody_alike(twins):
    people, names = history(twins.first)
    copied = twins.second.folder
    for name in ("blobs", "drafts"):
        shutil.rmtree(copied / name, ignore_errors=True)
        shutil.copytree(twins.first.folder / name, copied / name)
    names |= {"LOST": people["revoked"].id, "PERSON": people["mechanic"].person}
    for one in (twins.first, twins.second):
        renew(one.store, set())
    embedded, served = twins.views()
    assert served == embedded
    client_of_first, client_of_second = clients(twins.first), clients(twins.second)
    for who, phone in people.items():
        first, second = client_of_first(phone), client_of_second(phone)
        for question in questions(names):
            assert question.asked_by(second) == question.asked_by(first), f"{who} {question}"
