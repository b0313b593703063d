"""Bags of a workshop whose key was stolen and recovered: by the paper of the first day alone."""

import io

import pytest

import bag_verifier
from bags import BagWorkshop, stolen
from twoturns.bag.verify import verify
from twoturns.store.succession import commit, recover

PAPER, NEXT = b"p" * 16, b"n" * 16


@pytest.fixture
def workshop(tmp_path):
    made = BagWorkshop(tmp_path / "data")
    commit(made.store, PAPER, before=None, now=made.now)
    return made


def test_a_bag_shows_what_a_thief_wrote_as_doubted_and_stands_on_the_paper(workshop):
    work, fingerprint, trusted = stolen(workshop)
    before = verify(io.BytesIO(workshop.bag(work)), key=fingerprint)
    assert before.findings == ()
    assert not any(one.standing == "doubted" for one in before.told.exceptions)
    recover(workshop.store, PAPER, then=NEXT, size=trusted, now=workshop.now)
    after = verify(io.BytesIO(workshop.bag(work)), key=fingerprint)
    assert after.findings == ()
    assert any(one.standing == "doubted" for one in after.told.exceptions)
    assert (
        bag_verifier.check(io.BytesIO(workshop.bag(work))) == fingerprint
    )  # knows no code of ours
    (said,) = [one for one in after.proven if "recovered by the key on paper" in one]
    assert f"from record {trusted} up to record" in said
    assert any("nobody else had the workshop's key" in one for one in after.unproven)
    with_old_key = verify(io.BytesIO(workshop.bag(work)), key=workshop.store.ledger.key)
    assert [one.code for one in with_old_key.findings] == ["other-workshop"]
