"""Whole jobs on the three demo procedures, through a store: they end as they should, on both sides.

What the store gives back is folded in Python and in the phone's TypeScript, and each job's bag is
exported and verified without the store.
"""

import io
from dataclasses import asdict, dataclass

import pytest

from bags import BagWorkshop
from demo_procedures import HATCH, ROADSIDE, VAN, loaded
from publishing import publish_by_right
from twoturns.bag.verify import verify
from twoturns.demo.scripted_phone import Photo, ScriptedPhone, Work, logged
from twoturns.procedure.machine.fold import LogEntry, fold
from twoturns.procedure.machine.machine import Machine
from twoturns.procedure.machine.plan import plan_of
from twoturns.procedure.machine.state import JobState, may_end
from workshop import NOON, uuid7

VINS = {VAN: "ZZ9DEMA24HB000123", HATCH: "ZZ9DEMB11KC000457", ROADSIDE: "ZZ9DEMC39LD000881"}
# Where the roadside's triage or its work turns red, early and late.
RED = [
    ("look_at_place", "red_place"),
    ("look_behind_wheel", "strands_drawn_in"),
    ("two_turns", "hard_spot"),
    ("measure_charge", "does_not_charge"),
]

every = pytest.mark.parametrize("name", [VAN, HATCH, ROADSIDE])
every_red = pytest.mark.parametrize(("step", "failure"), RED, ids=[step for step, _ in RED])


def picture(step: str, name: str) -> Photo:
    """Bytes that nobody looks into; no two are alike."""
    return Photo(f"{uuid7()}: a photo of {name} at {step}".encode(), 640, 480)


@dataclass
class Told:
    """A job as the store has it."""

    workshop: BagWorkshop
    work: Work
    entries: list[LogEntry]
    state: JobState

    @property
    def machine(self) -> Machine:
        return self.work.machine

    def bag(self):
        return io.BytesIO(self.workshop.bag(self.work))


class Scripts(BagWorkshop):
    """A workshop with the three procedures, that tells jobs."""

    def __init__(self, folder):
        super().__init__(folder)
        for name in VINS:
            publish_by_right(self.store, loaded(name), NOON)
        self.told = {}

    def begun(self, name) -> tuple[Work, ScriptedPhone]:
        bundle, phone = loaded(name), self.phone("mechanic", "Linnea Aldous")
        work = Work(bundle.bundle, uuid7(), picture)
        vehicle = {"vin": VINS[name], "plate": "WEIR 12", "odometer_km": 90_400, "bay": "2"}
        code = bundle.bundle["engine_codes"][0]
        work.open(phone, bundle.sha256, {**vehicle, "engine_code": code})
        return work, phone

    def closed(self, work, phone, end, because=None) -> Told:
        body = {"end": end}
        if because:
            body["because"] = phone.private("words", because)
        work.write(phone, "job.closed", body)
        self.deliver(phone)
        records = [(record, at) for _, record, at in self.store.ledger.job_entries(work.job)]
        entries = [logged(record.entry, standing) for record, standing in records]
        return Told(self, work, entries, fold(work.machine, entries))

    def straight(self, name) -> Told:
        if name not in self.told:
            work, phone = self.begun(name)
            work.run(phone)
            self.told[name] = self.closed(work, phone, "finished")
        return self.told[name]

    def red(self, step, failure) -> Told:
        if step not in self.told:
            work, phone = self.begun(ROADSIDE)
            work.run(phone, until=step)
            work.fail(phone, step, failure, words="Recover, do not crank.")
            work.look(phone, end="recovered")
            work.run(phone, end="recovered")
            self.told[step] = self.closed(work, phone, "recovered", "The lorry has taken it.")
        return self.told[step]


@pytest.fixture(scope="module")
def scripts(tmp_path_factory):
    return Scripts(tmp_path_factory.mktemp("scripts") / "workshop")


def assert_alike(told: Told, peer) -> None:
    bundle = told.work.bundle
    source = {"machine": bundle["machine"], "rules": bundle["rules"]}
    answer = peer.call("verdicts", source, [asdict(one) for one in told.entries])
    assert answer["state"] == told.state.to_json()
    assert [len(missing) for missing in answer["missing"]] == [
        len(may_end(told.machine, told.state, end.id)) for end in told.machine.ends
    ]


@every
def test_a_straight_job_ends_finished_with_no_exception(scripts, name):
    told = scripts.straight(name)
    assert may_end(told.machine, told.state, "finished") == []
    assert told.state.exceptions == []
    assert told.state.closed.end == "finished"
    assert not told.state.closed.changed
    musts = [at for at, step in enumerate(told.machine.steps) if step.must]
    assert {told.state.steps[at] for at in musts} == {"done"}
    assert len(musts) == {VAN: 46, HATCH: 44, ROADSIDE: 36}[name]
    assert plan_of(told.machine, told.state).items == []


@every
def test_what_the_store_has_is_what_the_phone_wrote(scripts, name):
    told = scripts.straight(name)
    assert told.entries == [logged(one) for one in told.work.log]


@every
def test_the_phone_folds_a_straight_job_alike(scripts, name, peer):
    assert_alike(scripts.straight(name), peer)


@every
def test_a_straight_jobs_bag_proves_it_without_the_store(scripts, name):
    told = scripts.straight(name)
    verdict = verify(told.bag(), key=scripts.store.ledger.workshop)
    assert verdict.findings == ()
    steps = {VAN: 46, HATCH: 44, ROADSIDE: 36}[name]
    assert f"{steps} of {steps} steps hold." in verdict.told.state
    assert verdict.told.exceptions == ()


@every_red
def test_what_turns_red_at_the_roadside_ends_recovered(scripts, step, failure):
    told = scripts.red(step, failure)
    assert may_end(told.machine, told.state, "recovered") == []
    assert told.state.closed.end == "recovered"
    assert [flag.code for flag in told.state.exceptions] == ["failed"]
    assert plan_of(told.machine, told.state).blocked, "nothing leads to a start any more"
    assert may_end(told.machine, told.state, "finished") != []


@every_red
def test_the_phone_folds_a_recovery_alike(scripts, step, failure, peer):
    assert_alike(scripts.red(step, failure), peer)


@every_red
def test_a_recoverys_bag_proves_it_and_says_why(scripts, step, failure):
    told = scripts.red(step, failure)
    verdict = verify(told.bag(), key=scripts.store.ledger.workshop)
    assert verdict.findings == ()
    (failed,) = verdict.told.exceptions
    steps = {each["id"]: each for each in told.work.bundle["steps"]}
    (says,) = [each["says"] for each in steps[step]["fails"] if each["id"] == failure]
    assert says.rstrip(".") in failed.what
    (end,) = [each["name"] for each in told.work.bundle["ends"] if each["id"] == "recovered"]
    assert end in verdict.told.state


def test_a_job_is_not_finished_on_the_way(scripts):
    work, phone = scripts.begun(HATCH)
    work.run(phone, until="hand_over")
    told = scripts.closed(work, phone, "finished")
    assert "out-of-order" in {flag.code for flag in told.state.exceptions}
    assert [one.kind for one in may_end(told.machine, told.state, "finished")] == ["step"]
