"""
An interruption at every step of the demo procedures: begun, left, and looked at.

Looks find all as it was, all as it would be left, and how it is after each part of the work. What
was half done takes only what its own step would have taken: no step that was done comes back, and
only the last are dear, for the reasons beside them. (20 s: 290 logs are folded and planned.)
"""

import pytest

from demo_log import DemoLog
from demo_procedures import HATCH, ROADSIDE, VAN, source_steps
from twoturns.procedure.machine.plan import plan_of

pytestmark = pytest.mark.slow(6)

CHEAP = 2  # steps more than going straight on
# What costs more, and how much: for each step the dearest that can be found.
DEAREST = {
    VAN: {
        "road_test": 3,  # out of the yard, key in: secured, started and looked at anew
        "belt_on": 4,  # the belt lies there, uncounted: off again, and the tensioner cocked anew
    },
    HATCH: {
        "road_test": 3,
        "belt_on": 4,
    },
    ROADSIDE: {"let_arm_up": 3},  # up, and nobody said how: belt off, on, and its ribs anew
}


def looks_of(log, step, deeds):
    """What looks can find: for each of its engine conditions a value, before, between and after."""
    index, conditions = log.machine.condition_index, log.machine.conditions
    state = log.state()
    now = {
        c: state.conditions[c].bit_length() - 1
        for c, _ in step.on_the_way
        if not conditions[c].proof
    }
    found = [dict(now)]
    for deed in deeds:
        word, _, value = deed.partition("=")
        if index.get(word) in now:
            now[index[word]] = conditions[index[word]].values.index(value)
            found.append(dict(now))
    return [seen for n, seen in enumerate(found) if seen not in found[:n]]


@pytest.mark.parametrize("name", [VAN, HATCH, ROADSIDE])
def test_after_an_interruption_nothing_done_comes_back_and_the_job_goes_on(name):
    log, dear, looked = DemoLog(name), {}, 0
    for step in log.machine.steps:
        if step.undo:
            continue
        done = {at for at, status in enumerate(log.state().steps) if status == "done"}
        straight = len(log.planned().items)
        for seen in looks_of(log, step, source_steps(name)[step.id]["does"]):
            left = log.copy()
            left.write("step.begun", {"step": step.id})
            for condition, value in seen.items():
                left.see(condition, value)
            state = left.state()
            assert not done & state.todo, (step.id, seen)
            planned = plan_of(left.machine, state)
            assert planned.blocked is None, (step.id, seen)
            more = len(planned.items) - straight
            if more > CHEAP:
                dear[step.id] = max(more, dear.get(step.id, 0))
            looked += 1
        log.do(step.id)
    assert dear == DEAREST[name]
    assert looked > len(log.machine.steps)


def test_what_was_done_and_begun_anew_comes_back_when_it_is_found_half_done():
    """The damper, on and tightened, and once more its lock is in: its own step is to be done."""
    log = DemoLog(VAN)
    log.do_until("aux_on")
    machine = log.machine
    at, lock = machine.step_index["damper_on"], machine.condition_index["fly_lock"]
    assert log.state().steps[at] == "done"
    log.write("step.begun", {"step": "damper_on"})
    log.see(lock, machine.conditions[lock].values.index("in"))
    state = log.state()
    assert state.steps[at] == "todo"
    assert state.steps[machine.step_index["pins_in"]] == "done"
