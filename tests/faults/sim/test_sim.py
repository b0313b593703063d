"""
The simulation, for a short time: nothing that a screen has shown as kept is lost, whatever fails.

Seeds are chosen by number, so the run is the same each time. ``python -m tests.faults`` goes on
with others. 25 s on a quiet machine: a seed is some ten minutes of a workshop's life.
"""

import re
from collections import Counter
from pathlib import Path

import pytest

from faults.sim.driver import Asked, built, simulate

SEEDS = range(1, 13)
# In so many seeds a planted fault is found, or the simulation does not look for it.
SEEDS_A_PLANT = range(1, 16)
PLANTS = sorted(
    set(re.findall(r"name: '([a-z-]+)'", Path(__file__).with_name("plants.ts").read_text()))
)


def test_what_was_shown_as_kept_is_kept():
    done: Counter[str] = Counter()
    claims = 0
    with built() as program:
        for told in simulate(program, map(Asked, SEEDS)):
            assert not told.faults, told.text()
            done.update(told.done)
            claims += told.claims
    # It was no quiet time.
    assert claims > 100
    assert {"battery gone", "browser killed", "line: answer lost", "line: doubled"} <= set(done)


@pytest.fixture(scope="module")
def planted():
    with built(plants=True) as program:
        yield program


@pytest.mark.parametrize("plant", PLANTS)
def test_a_planted_fault_is_found(planted, plant):
    runs = simulate(planted, (Asked(seed, plant) for seed in SEEDS_A_PLANT))
    assert any(told.faults for told in runs)


def test_a_seed_is_a_run():
    with built() as program:
        first, second = simulate(program, [Asked(7), Asked(7)])
    assert first == second
