"""
A list that is spoilt is not proved: every step taken out, and steps moved to every other place.

Here every deletion, and of the moves those that are allowed without a walk and a sample of the
rest. All moves take some minutes and are run by hand: `tests/bench/bench_mutations.py`.
"""

import pytest

from demo_procedures import HATCH, ROADSIDE, VAN
from mutants import ALLOWED, is_allowed, mutants_of, sampled

pytestmark = pytest.mark.slow(22)

every = pytest.mark.parametrize("name", [VAN, HATCH, ROADSIDE])
SAMPLE = 80


@every
def test_an_untouched_list_meets_no_objection(name):
    mutants = mutants_of(name)
    assert mutants.objection(mutants.steps) is None


@every
def test_no_step_can_be_left_out(name):
    mutants = mutants_of(name)
    found = {step: mutants.objection(steps) for step, steps in mutants.deletions()}
    assert len(found) == {VAN: 46, HATCH: 44, ROADSIDE: 36}[name]
    assert [step for step, objection in found.items() if objection is None] == []


@every
def test_a_step_in_another_place_is_objected_to(name):
    mutants = mutants_of(name)
    spoilt = [move for move in mutants.moves() if not is_allowed(name, *move[:2])]
    for step, to, steps in sampled(spoilt, SAMPLE, seed=7):
        assert mutants.objection(steps) is not None, (step, to)


@every
def test_what_may_move_has_a_reason(name):
    mutants = mutants_of(name)
    places = {step["id"]: at + 1 for at, step in enumerate(mutants.steps)}
    assert ALLOWED[name].keys() <= places.keys()
    for step, (ranges, reason) in ALLOWED[name].items():
        assert all(1 <= low <= high <= len(places) for low, high in ranges)
        assert not any(low <= places[step] <= high for low, high in ranges)
        assert reason.endswith(".")


def test_a_move_that_is_allowed_is_really_proved():
    mutants = mutants_of(ROADSIDE)
    allowed = [move for move in mutants.moves() if is_allowed(ROADSIDE, *move[:2])]
    for step, to, steps in allowed:
        assert mutants.objection(steps) is None, (step, to)
