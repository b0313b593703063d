"""
A bag against a checkpoint that its reader kept: the ledger grew from it, or that is not shown.

The proofs are those of RFC 6962, section 2.1.2; `test_tree` has the published ones.
"""

import json

import pytest

from bags import BagWorkshop, packed, resealed, unpacked, verdict_of
from twoturns.bag import layout
from twoturns.ledger import checkpoint
from twoturns.store.errors import StoreError
from twoturns.store.gather import gather
from workshop import clients


@pytest.fixture(scope="module")
def workshop(tmp_path_factory):
    return BagWorkshop(tmp_path_factory.mktemp("growth") / "data")


@pytest.fixture(scope="module")
def kept(workshop):
    """The checkpoint that the reader kept, of before the job."""
    return workshop.store.ledger.checkpoint()


@pytest.fixture(scope="module")
def work(workshop, kept):
    mechanic = workshop.phone("mechanic", "Ada Weir")
    work = workshop.job(mechanic)
    work.run(mechanic)
    workshop.deliver(mechanic)
    return work


@pytest.fixture(scope="module")
def bag(workshop, work):
    return workshop.bag(work)


def sizes(bag, kept):
    return int(kept.split("\n")[1]), int(unpacked(bag)[layout.CHECKPOINT].split(b"\n")[1])


def asked(workshop, old, new):
    """What the workshop answers to somebody who has no device here."""
    answer = clients(workshop)().get(f"/api/consistency?from={old}&to={new}")
    assert answer.status_code == 200
    return answer.data


def test_without_a_proof_growth_is_not_proven(bag, kept):
    verdict = verdict_of(bag, kept=kept)
    assert verdict.findings == ()
    assert [one.code for one in verdict.unshown] == ["growth-not-proven"]
    assert not verdict.holds


def test_with_the_answer_of_the_workshop_it_is(workshop, bag, kept):
    verdict = verdict_of(bag, kept=kept, consistency=asked(workshop, *sizes(bag, kept)))
    assert verdict.holds
    assert any("grew out of the one whose head is" in said for said in verdict.proven)


def test_a_newer_checkpoint_is_held_against_an_older_bag_as_well(workshop, bag):
    workshop.store.ledger.state("retention.set", {"days": 4000}, workshop.now)
    newer = workshop.store.ledger.checkpoint()
    new, old = sizes(bag, newer)
    assert verdict_of(bag, kept=newer, consistency=asked(workshop, old, new)).holds


def test_a_path_of_other_sizes_shows_two_ledgers_and_what_is_no_answer_nothing(workshop, bag, kept):
    old, new = sizes(bag, kept)
    for path in (asked(workshop, old - 1, new), asked(workshop, old, new - 1), b'{"path":[]}'):
        verdict = verdict_of(bag, kept=kept, consistency=path)
        assert [one.code for one in verdict.findings] == ["two-ledgers"]
    for nonsense in (b"", b"[]", b'{"path":[1]}', b'{"path":["%"]}', b"\xff"):
        verdict = verdict_of(bag, kept=kept, consistency=nonsense)
        assert [one.code for one in verdict.findings] == ["consistency"]


def test_a_ledger_that_was_rewritten_did_not_grow_from_what_was_kept(workshop, bag, kept):
    ledger = workshop.store.ledger
    old, new = sizes(bag, kept)
    other = checkpoint.sign(ledger.signer(), ledger.workshop, old, b"\x07" * 32)
    verdict = verdict_of(bag, kept=other, consistency=asked(workshop, old, new))
    assert [one.code for one in verdict.findings] == ["two-ledgers"]


def since(workshop, work, kept):
    ways = {"groups": (), "originals": False, "made_on": "2026-11-24"}
    return gather(workshop.store, work.job, **ways, since=kept)


def bag_since(workshop, work, kept):
    workshop.evidence = lambda *_, **__: since(workshop, work, kept)
    try:
        return workshop.bag(work)
    finally:
        del workshop.evidence


def test_a_bag_made_since_a_checkpoint_brings_its_proof(workshop, work, kept):
    bag = bag_since(workshop, work, kept)
    assert verdict_of(bag, kept=kept).holds
    alone = verdict_of(bag)
    assert alone.holds
    assert any("grew out of the one whose head is" in said for said in alone.proven)
    said = json.loads(unpacked(bag)[layout.CONSISTENCY])
    assert (said["from"], said["to"]) == sizes(bag, kept)


def test_a_proof_in_the_bag_that_leads_elsewhere_is_found(workshop, work, kept):
    files = unpacked(bag_since(workshop, work, kept))
    ledger, (old, _) = workshop.store.ledger, sizes(packed(files), kept)
    older = checkpoint.sign(ledger.signer(), ledger.workshop, old, b"\x07" * 32)
    changes = {
        layout.SINCE: older.encode(),
        layout.CONSISTENCY: files[layout.CONSISTENCY].replace(b'"from":', b'"from":1'),
    }
    for name, data in changes.items():
        verdict = verdict_of(resealed({**files, name: data}))
        assert {one.file for one in verdict.findings} >= {layout.MANIFEST, layout.CONSISTENCY}
    only = {name: data for name, data in files.items() if name != layout.SINCE}
    assert "since" in {one.code for one in verdict_of(resealed(only)).findings}


def test_a_checkpoint_of_another_ledger_makes_no_bag(workshop, work, kept, tmp_path):
    stranger = BagWorkshop(tmp_path / "other").store.ledger
    ours = workshop.store.ledger
    forked = checkpoint.sign(ours.signer(), ours.workshop, 3, b"\x07" * 32)
    for note in (stranger.checkpoint(), forked, "hello"):
        with pytest.raises(StoreError, match="not of this ledger"):
            since(workshop, work, note)
