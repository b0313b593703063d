"""Standings as the views hold them: those of `ledger.standing`, and worked out no oftener."""

import random
import shutil
from collections import Counter

import pytest

from odd_logs import in_two_jobs, numbered
from twoturns.ledger.record import parse
from twoturns.ledger.roster import Roster
from twoturns.ledger.standing import standings
from twoturns.store import Store
from twoturns.store.projector import TABLES, Projector
from workshop import rows_of_table, uuid7


def in_views(store):
    return {
        row["id"]: row["standing"]
        for row in store.database.rows("select id, standing from entries")
    }


def by_the_reference(store):
    rows = store.database.rows('select "index", record from records order by "index"')
    records = [(row["index"], parse(row["record"]).entry) for row in rows]
    roster = Roster(store.ledger.workshop)
    for index, entry in records:
        roster.apply(index, entry)
    return standings(records, roster)


def dump(store):
    return [rows_of_table(store, one) for one in ("entries", "accepted", "waits")]


@pytest.mark.parametrize("seed", range(8))
def test_views_say_what_the_reference_says_in_any_order_and_made_anew(workshop, seed):
    rng, job = random.Random(seed), uuid7()
    owner, *phones = (workshop.enrol(role) for role in ("owner", "mechanic", "mechanic"))
    said = numbered(rng, phones, job)
    steps = rng.sample(said, len(said))
    for phone in phones:
        gone = owner.write("device.revoked", {"device": phone.id, "because": "lost"})
        steps.insert(rng.randrange(12, 25), gone)
    for _ in range(8):
        some = [one.id for one in rng.sample(said, rng.randrange(1, 4))]
        taken = owner.write("work.accepted", {"entries": some, "because": "seen"})
        steps.insert(rng.randrange(20, len(steps)), taken)
    seen = set()
    for one in steps:
        assert workshop.push(one).refused == []
        assert in_views(workshop.store) == by_the_reference(workshop.store)
        seen |= set(in_views(workshop.store).values())
    assert seen == {"good", "gap", "forked", "doubted"}
    before = dump(workshop.store)
    assert workshop.store.rebuild() == []
    assert dump(workshop.store) == before


@pytest.mark.embedded("its twin is a copy of the folder")
@pytest.mark.parametrize("seed", range(6))
def test_one_batch_or_many_or_made_anew_the_views_are_the_same(workshop, tmp_path, seed):
    """What a transaction remembers, or keeps back until its end, is no other than what it asks."""
    rng = random.Random(seed)
    owner, *phones = (workshop.enrol(role) for role in ("owner", "mechanic", "mechanic"))
    said = in_two_jobs(rng, owner, phones)
    for one in rng.sample(said, 20):  # swapped with another: some come before what they come after
        at = rng.randrange(len(said))
        said[said.index(one)], said[at] = said[at], one
    shutil.copytree(workshop.folder, tmp_path / "other")
    other = Store(tmp_path / "other")
    for one in said:
        workshop.push(one)
    while said:
        some, said = said[: (size := rng.randrange(1, 40))], said[size:]
        lines = [one.line for one in some]
        other.ledger.append(lines, [], received=workshop.now, offset_ms=0)
    before = all_views(workshop.store)
    assert all_views(other) == before
    workshop.store.rebuild()
    assert all_views(workshop.store) == before


def all_views(store):
    return {name: rows_of_table(store, name) for name in TABLES}


def restandings(monkeypatch, act):
    """How often the standing of each entry is worked out while something is done."""
    counted = Counter()
    inner = Projector._restand

    def count(self, now, index, entry):
        counted[entry.id] += 1
        inner(self, now, index, entry)

    monkeypatch.setattr(Projector, "_restand", count)
    act()
    monkeypatch.undo()
    return counted


def alike(phone, job, seq, many):
    """So many entries with one number."""
    made = []
    for _ in range(many):
        phone.seq, phone.heads = seq - 1, {}
        made.append(phone.write("job.taken", {}, job, after=[f"{len(made):064x}"]))
    return made


@pytest.mark.parametrize("is_revoked", [False, True])
def test_who_numbers_all_alike_has_none_of_them_looked_at_again_and_again(
    workshop, monkeypatch, is_revoked
):
    """It was n * n within one transaction: a batch of 250 took half a minute, and each rebuild."""
    owner, phone = workshop.enrol("owner"), workshop.enrol("mechanic")
    said = alike(phone, workshop.open_job(phone), 7, 40)
    if is_revoked:
        workshop.push(owner.write("device.revoked", {"device": phone.id, "because": "stolen"}))
    counted = restandings(monkeypatch, lambda: workshop.push(*said))
    assert counted.keys() == {one.id for one in said}
    assert counted.total() <= len(said) + 1  # the first one again, when the second makes it a fork
    again = restandings(monkeypatch, workshop.store.rebuild)
    assert sum(again[one.id] for one in said) <= len(said) + 1
    accepted = {"entries": [one.id for one in said[:20]], "because": "seen"}
    counted = restandings(
        monkeypatch, lambda: workshop.push(owner.write("work.accepted", accepted))
    )
    assert counted.total() == 21
    assert in_views(workshop.store) == by_the_reference(workshop.store)


def test_the_entry_before_closes_the_gap_of_those_after_it_once(workshop, monkeypatch):
    phone = workshop.enrol("mechanic")
    job = workshop.open_job(phone)
    (after,) = alike(phone, job, 8, 1)
    before = alike(phone, job, 7, 30)
    counted = restandings(monkeypatch, lambda: workshop.push(after, *before))
    assert counted[after.id] == 2
