"""Standings, judged by a program that knows the page of formats alone: the same as ours."""

import io
from collections import Counter

import pytest

import standing_verifier
from bags import BagWorkshop
from workshop import opening, private_value, uuid7


class Spoilt(BagWorkshop):
    """A job in which each standing stands, and its bag."""

    def __init__(self, folder):
        super().__init__(folder)
        self.mechanic = self.enrol("mechanic")
        self.auditor = self.enrol("auditor")
        self.job_id = self.opened(self.mechanic)

    def opened(self, phone):
        job, values = uuid7(), [private_value("vin", "V"), private_value("plate", "WEIR 12")]
        said = phone.write("job.opened", opening(*values, bundle=self.bundle.sha256), job)
        assert self.push(said, blobs=tuple(values)).refused == []
        return job

    def says(self, phone, **other):
        said = phone.write("step.begun", {"step": "lock_in"}, self.job_id, **other)
        assert self.push(said).refused == []
        return said.id

    def read(self):
        work = type("Work", (), {"job": self.job_id})
        return standing_verifier.records_of(io.BytesIO(self.bag(work)))


@pytest.fixture
def spoilt(tmp_path):
    return Spoilt(tmp_path / "data")


def agreed(spoilt):
    """Return how many of each standing both find; they must find the same of each entry."""
    records, account = spoilt.read()
    ours = {one["entry"]: one["standing"] for one in account["entries"]}
    alone = standing_verifier.standings(records)
    assert {entry: alone[entry] for entry in ours} == ours
    return Counter(ours.values())


def test_good_gap_forked_and_doubted_are_told_apart(spoilt):
    mechanic = spoilt.mechanic
    spoilt.says(mechanic)
    seq = mechanic.seq
    spoilt.says(mechanic, seq=seq)  # a twin
    spoilt.says(mechanic, after=["ab" * 32])  # after what nobody has
    mechanic.seq += 3
    spoilt.says(mechanic)  # numbers left out
    spoilt.says(spoilt.auditor)  # not an auditor's to write
    spoilt.says(mechanic, person=uuid7())  # for whom the device does not speak
    assert agreed(spoilt) == {"good": 1, "forked": 2, "gap": 2, "doubted": 2}


def test_what_comes_after_a_revocation_is_doubted_until_it_is_accepted(spoilt):
    mechanic = spoilt.mechanic
    spoilt.says(mechanic)
    state = spoilt.store.ledger.state
    state("device.revoked", {"device": mechanic.id, "because": "lost"}, spoilt.now)
    late = spoilt.says(mechanic)
    twin = spoilt.says(mechanic, seq=2)  # of the opening, by whoever has the phone now
    assert agreed(spoilt) == {"good": 2, "doubted": 2}
    state("work.accepted", {"entries": [late], "because": "found"}, spoilt.now)
    assert agreed(spoilt) == {"good": 3, "doubted": 1}
    state("work.accepted", {"entries": [twin], "because": "found"}, spoilt.now)
    assert agreed(spoilt)["forked"] == 1


def test_a_device_speaks_for_whom_an_owner_admits_if_of_no_higher_role(spoilt):
    owner = spoilt.enrol("owner")
    other = spoilt.enrol("mechanic")
    body = {"device": spoilt.mechanic.id, "persons": [other.person, owner.person]}
    spoilt.store.ledger.state("device.serves", body, spoilt.now)
    spoilt.says(spoilt.mechanic, person=other.person)
    spoilt.says(spoilt.mechanic, person=owner.person)
    assert agreed(spoilt) == {"good": 2, "doubted": 1}
