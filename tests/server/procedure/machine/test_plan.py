"""The plan against a plain breadth-first search, vectors, the demo's failures, and its twin."""

import json
from collections import deque
from dataclasses import asdict
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from demo_log import DemoLog
from demo_procedures import VAN
from plans import as_json, open_steps
from random_jobs import random_bundle
from twoturns.procedure.machine.fold import LogEntry, fold
from twoturns.procedure.machine.machine import Machine, is_open
from twoturns.procedure.machine.plan import Do, Look, Plan, gap_helps, plan, plan_of
from twoturns.procedure.machine.search import NO_WAY, States, shortest_way
from twoturns.procedure.machine.state import Loss

pytestmark = pytest.mark.slow(9)

ROOT = Path(__file__).parents[4]
VECTORS = json.loads((ROOT / "tests" / "vectors" / "plan.json").read_text())
SEEDS = st.integers(0, 2**32 - 1)

Situation = tuple[dict[str, Any], list[int], list[int], str]


def random_situation(seed: int) -> Situation:
    """Return a bundle with ways back, values of its conditions, steps that are todo, and an end."""
    rng = Random(seed)
    bundle = random_bundle(rng, ways=(2, 3, 5, 6))
    machine = Machine.from_bundle(bundle)
    values = [rng.randrange(len(each.values)) for each in machine.conditions]
    if rng.random() < 0.5:
        values = [each.start for each in machine.conditions]
    todo = [at for at in range(len(machine.steps)) if rng.random() < 0.6]
    return bundle, values, todo, rng.choice(["finished", "stopped"])


class PlainSearch:
    """Breadth first over plain tuples: slow, and too simple to be wrong."""

    def __init__(self, machine: Machine, end: str) -> None:
        self.machine, self.end = machine, machine.end(end)
        self.order = sorted(range(len(machine.steps)), key=machine.rank)
        self.seen = 0

    def way(self, values: list[int], todo: list[int]) -> list[int] | None:
        """Return the shortest way, the first of them in the order of steps."""
        start = (tuple(values), frozenset(at for at in todo if self.machine.steps[at].must))
        came: dict[Any, Any] = {start: None}
        queue = deque([start])
        while queue:
            here = queue.popleft()
            if self._is_end(*here):
                self.seen = len(came)
                steps = []
                while came[here] is not None:
                    here, step = came[here]
                    steps.append(step)
                return steps[::-1]
            for step in self.order:
                there = self._after(*here, step)
                if there is not None and there not in came:
                    came[there] = (here, step)
                    queue.append(there)
        self.seen = len(came)
        return None

    def _is_end(self, values, todo):
        met = all(mask >> values[c] & 1 for c, mask in self.end.conditions)
        return met and not (self.end.all_must and todo)

    def _after(self, values, todo, at):
        step = self.machine.steps[at]
        if not is_open(self.machine, [1 << value for value in values], todo, at):
            return None
        for rule in step.rules:
            holds = all(mask >> values[c] & 1 for c, mask in rule.guard)
            if not holds and not self.machine.rules[rule.rule].ask:
                return None
        new, again = list(values), set(todo)
        for c, value in step.effect:
            for (of, left), makers in self.machine.makers.items():
                if of != c or left == value:
                    continue
                if self.machine.conditions[c].proof:
                    again |= set(makers)
                elif left == values[c]:
                    again |= {m for m in makers if step.undo or m > at}
            new[c] = value
        return tuple(new), frozenset(again - {at})


# Exact.


def test_of_6000_situations_each_plan_is_the_shortest_and_the_first_of_these():
    solved = 0
    for seed in range(6000):
        bundle, values, todo, end = random_situation(seed)
        machine = Machine.from_bundle(bundle)
        states = States(machine, machine.end(end))
        found = shortest_way(states, states.packed(values, todo), limit=10**6)
        assert found.steps == PlainSearch(machine, end).way(values, todo), f"seed {seed}"
        solved += len(found.steps or ()) > 1
    assert solved > 300  # and there was something to find


@settings(max_examples=400, deadline=None)
@given(SEEDS)
def test_the_bound_never_says_more_than_there_is_to_do(seed):
    bundle, values, todo, end = random_situation(seed)
    machine = Machine.from_bundle(bundle)
    states = States(machine, machine.end(end))
    way = PlainSearch(machine, end).way(values, todo)
    bound = states.bound(states.packed(values, todo))
    assert bound <= (NO_WAY if way is None else len(way))


@settings(max_examples=300, deadline=None)
@given(SEEDS)
def test_what_the_search_may_do_is_what_is_open(seed):
    bundle, values, todo, _ = random_situation(seed)
    machine = Machine.from_bundle(bundle)
    states = States(machine, machine.ends[0])
    start = states.packed(values, todo)
    masks = [1 << value for value in values]
    musts = {at for at in todo if machine.steps[at].must}
    no_stop = [
        at
        for at in open_steps(machine, masks, musts)
        if all(
            machine.rules[rule.rule].ask or all(mask & masks[c] for c, mask in rule.guard)
            for rule in machine.steps[at].rules
        )
    ]
    assert [move.step for move in states.moves if states.after(start, move) is not None] == no_stop


# Vectors, worked out by hand, on the machine of the fold's vectors.


def told(machine: Machine, found: Plan) -> dict[str, Any]:
    """Return a plan in the words of the vectors."""

    def words(item):
        if isinstance(item, Look):
            return f"look {machine.conditions[item.condition].id}"
        why = item.why
        said = [machine.steps[item.step].id, why.kind]
        if why.condition is not None:
            said.append(machine.conditions[why.condition].id)
        if why.step is not None:
            said.append(f"by {machine.steps[why.step].id}" if why.kind == "redo" else "")
            said[-1] = said[-1] or f"for {machine.steps[why.step].id}"
        if why.entry is not None:
            said.append(f"by entry {why.entry}")
        said += [f"with {count} {part}" for part, count in item.parts]
        return " ".join(said)

    blocked = found.blocked
    return {
        "items": [words(item) for item in found.items],
        "blocked": blocked
        and [
            blocked.why,
            None if blocked.step is None else machine.steps[blocked.step].id,
            blocked.refusal and blocked.refusal.why,
        ],
    }


@pytest.mark.parametrize("case", VECTORS["cases"], ids=lambda case: case["name"])
def test_agrees_with_the_vectors(case):
    machine = Machine.from_bundle(VECTORS["bundle"])
    state = fold(
        machine,
        [
            LogEntry(e["id"], e["after"], e["kind"], e["body"], "good", "one", "phone")
            for e in case["entries"]
        ],
    )
    assert told(machine, plan_of(machine, state, case["end"])) == case["expect"]


def test_it_says_so_when_it_gives_up():
    machine = Machine.from_bundle(VECTORS["bundle"])
    start = [1 << each.start for each in machine.conditions]
    found = plan(machine, start, range(len(machine.steps)), limit=2)
    assert found.items == []
    assert found.blocked is not None
    assert (found.blocked.why, found.blocked.step) == ("too-long", 0)


def test_where_there_is_no_way_it_names_the_first_step_and_what_it_needs():
    """Without ways back, a pointer that is out after two turns leaves the nut tight for ever."""
    flat = VECTORS["bundle"]["machine"]
    steps = [step for step in flat["steps"] if not step["undo"]]
    machine = Machine.from_bundle({**VECTORS["bundle"], "machine": {**flat, "steps": steps}})
    found = plan(machine, [2, 1, 1, 1], [2, 4])
    set_step, nut = machine.step_index["set"], machine.condition_index["nut"]
    assert found.items == []
    assert found.blocked is not None
    assert (found.blocked.why, found.blocked.step) == ("no-way", set_step)
    refused = found.blocked.refusal
    assert refused is not None
    assert (refused.why, refused.condition, refused.possible, refused.wanted) == ("move", nut, 1, 6)


def test_an_unknown_end_is_refused():
    machine = Machine.from_bundle(VECTORS["bundle"])
    with pytest.raises(KeyError):
        plan(machine, [1] * len(machine.conditions), [], "sold")


# Demo A: the way back that a mechanic would go (trade paper, section 3, F1 and F3).


@pytest.fixture(scope="module")
def van() -> DemoLog:
    job = DemoLog(VAN)
    job.do_until("pins_again")
    return job


def after_failure(van: DemoLog, failure: str) -> list[str]:
    job = van.copy()
    job.write("step.begun", {"step": "pins_again"})
    job.write("step.failed", {"step": "pins_again", "failure": failure, "proof": []})
    step = job.machine.steps[job.machine.step_index["pins_again"]]
    it = next(each for each in step.fails if each.id == failure)
    for c in it.look:  # the mechanic looks: the pin that would not go is out
        seen = {"condition": job.machine.conditions[c].id, "value": "out"}
        job.write("condition.seen", seen)
    return job.plan()


REST = [str(number) for number in range(34, 47)]


def test_a_straight_job_is_planned_in_listed_order():
    assert DemoLog(VAN).plan() == [str(number) for number in range(1, 47)]


def test_the_demo_goes_through_with_no_exception(van):
    job = DemoLog(VAN)
    job.do_until("")
    state = job.state()
    assert state.exceptions == []
    assert job.plan() == []


def test_bolts_that_were_used_are_told_again():
    job = DemoLog(VAN)
    job.do_until("mount_on")
    mount, pump = job.machine.step_index["mount_on"], job.machine.step_index["pump_on"]

    def parts():
        return {item.step: item.parts for item in job.planned().items if isinstance(item, Do)}

    assert set(parts().values()) == {()}, "what was never fitted is in the kit"
    job.write("step.failed", {"step": "mount_on", "failure": "mount_angle_missed", "proof": []})
    assert {step for step, used in parts().items() if used} == {mount}
    assert parts()[mount] == (("mount_bolts", 4),)
    job.write("step.reopened", {"step": "pump_off"})
    assert parts()[pump] == (("pump_ring", 1), ("pump_bolts", 5))


def test_demo_a_pointer_out_goes_back_to_the_slack_tensioner(van):
    """F3. The pins went in to find it, so the way back begins at the nut."""
    assert after_failure(van, "pointer_out") == (
        ["nut_to_hand", "slot_bolts_loose", "27", "28", "29", "30", "31", "32", "33", *REST]
    )


def test_demo_a_one_tooth_out_goes_back_to_the_belt(van):
    """F1. Belt and tensioner come off again: its pin is cocked on the bench."""
    way = after_failure(van, "one_tooth_out")
    assert way[-len(REST) :] == REST
    rest = way[: -len(REST)]
    again = [str(number) for number in range(25, 34)]
    back = ["nut_loose", "belt_off_again", "tensioner_off_again"]
    assert rest[rest.index("nut_loose") :] == back + again


# The twin.


def test_the_phone_plans_3000_situations_alike(peer):
    calls, plans = [], []
    for seed in range(3000):
        rng = Random(~seed)
        bundle, values, todo, end = random_situation(seed)
        machine = Machine.from_bundle(bundle)
        conditions = [1 << value for value in values]
        if rng.random() < 0.3:
            conditions[0] = 3
        lost = [
            Loss("some entry", rng.choice([None, 0])) if rng.random() < 0.3 else None
            for _ in machine.steps
        ]
        tried = [rng.random() < 0.3 for _ in machine.steps]
        limit = rng.choice((5, 2000))
        calls.append([bundle, conditions, todo, end, [x and asdict(x) for x in lost], tried, limit])
        plans.append(plan(machine, conditions, todo, end, lost=lost, tried=tried, limit=limit))
    for seed, (found, answer) in enumerate(zip(plans, peer.calls("plan", calls), strict=True)):
        if answer["blocked"]:
            del answer["blocked"]["refusal"]  # the fold's tests compare these
        assert answer == as_json(found), f"seed {seed}"


# Gaps.


def test_a_gap_helps_where_the_end_is_reached_without_its_step(peer):
    """The plain search does not know the step at all; and the phone says the same."""
    calls, answers = [], []
    for seed in range(1500):
        bundle, values, todo, end = random_situation(seed)
        machine = Machine.from_bundle(bundle)
        musts = [at for at in todo if machine.steps[at].must]
        masks = [1 << value for value in values]
        told = []
        for step in range(len(machine.steps)):
            search = PlainSearch(machine, end)
            search.order.remove(step)
            can_help = step in musts and machine.end(end).all_must
            way = search.way(values, [at for at in musts if at != step]) if can_help else None
            told.append(way is not None)
            assert gap_helps(machine, masks, todo, step, end) == told[-1], f"seed {seed}"
        calls.append([bundle, masks, todo, end])
        answers.append(told)
    assert peer.calls("gaps", calls) == answers
    assert sum(map(sum, answers)) > 100
    assert sum(map(len, answers)) - sum(map(sum, answers)) > 100


def test_on_the_van_a_gap_helps_where_nothing_needs_what_the_step_proves(van):
    """The sticker's picture may be missing; the timing may not, or the covers never go on."""
    state = van.state()
    helped = {
        step.id
        for at, step in enumerate(van.machine.steps)
        if gap_helps(van.machine, state.conditions, state.todo, at)
    }
    assert "prove_timing" not in helped
    assert helped & {"covers_on", "aux_on", "sticker_and_old_parts"} == {"sticker_and_old_parts"}
