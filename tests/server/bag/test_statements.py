"""
What goes into a bag beside its job is bounded: nobody makes a bag that cannot be checked.

Sizes: common practice, no source. That the bag holds is checked by `verify`, and by its names.
"""

import io
import zipfile

import pytest

from bags import BagWorkshop, verdict_of
from twoturns.bag import bounds
from twoturns.bag.evidence import BagTooLarge
from twoturns.bag.write import write_bag


@pytest.fixture
def workshop(tmp_path):
    return BagWorkshop(tmp_path / "data")


@pytest.fixture
def people(workshop):
    return (workshop.phone("mechanic", "Ada Weir"),)


def named_in(workshop, work):
    return {one.entry.id for _, one in workshop.evidence(work).records}


def test_what_a_mechanic_states_in_no_known_words_goes_only_where_it_names_something(
    workshop, people
):
    work, other = (workshop.job(people[0]) for _ in range(2))
    workshop.deliver(people[0])
    stranger, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    lot = workshop.store.ledger.job_entries(work.job)[0][1].entry.device
    said = [
        stranger.write_newer("zz.zz", body)
        for body in ({"x": ["y" * 99]}, {"of": [{"job": work.job}]}, {"of": {"whose": lot}})
    ]
    ruled = owner.write_newer("zz.zz", {"x": ["y"]})
    workshop.push(*said, ruled)
    assert named_in(workshop, work) & {one.id for one in (*said, ruled)} == {
        said[1].id,
        said[2].id,
        ruled.id,
    }
    assert verdict_of(workshop.bag(work)).holds
    assert said[1].id not in named_in(workshop, other)


def test_what_was_stated_without_the_right_stays_out_until_an_owner_accepts_it(workshop, people):
    mechanic, stranger, owner = people[0], workshop.enrol("mechanic"), workshop.enrol("owner")
    work = workshop.job(mechanic)
    workshop.deliver(mechanic)
    opened = workshop.store.ledger.job_entries(work.job)[0][1].entry
    said = [
        stranger.write("device.revoked", {"device": opened.device, "because": "x" * 99}),
        stranger.write("work.accepted", {"entries": [opened.id], "because": "x" * 99}),
        stranger.write("device.serves", {"device": opened.device, "persons": []}),
    ]
    workshop.push(*said)
    assert not named_in(workshop, work) & {one.id for one in said}
    assert verdict_of(workshop.bag(work)).holds
    accepted = owner.write("work.accepted", {"entries": [said[0].id], "because": "seen"})
    workshop.push(accepted)
    assert named_in(workshop, work) & {one.id for one in said} == {said[0].id}
    assert verdict_of(workshop.bag(work)).holds


def test_no_bag_is_made_that_nobody_could_check(workshop, people, monkeypatch):
    work = workshop.job(people[0])
    workshop.deliver(people[0])
    for name, most in (("MAX_TEXT", 2_000), ("MAX_FILES", 3), ("MAX_UNPACKED", 5_000)):
        with monkeypatch.context() as patched:
            patched.setattr(bounds, name, most)
            out = io.BytesIO()
            with pytest.raises(BagTooLarge, match="no bag is made") as refused:
                write_bag(workshop.evidence(work), out)
            assert "backup" in refused.value.hint
            assert not zipfile.is_zipfile(out)
