"""
The simulation, for a short time: nothing that a screen has shown as kept is lost, whatever fails.

Seeds are chosen by number, so the run is the same each time. ``python -m tests.faults`` goes on
with others. 25 s on a quiet machine: a seed is some minutes of a workshop's life.
"""

from collections import Counter

import pytest

from faults.sim.driver import Asked, built, simulate

SEEDS = range(1, 10)
# What each fault of `plants.ts` is brought out by, so that it need not be waited for.
PLANTS = {
    "saved-at-success": ("quota", "unknown"),
    "journal-not-flushed": ("clear",),
    "photo-not-written": ("clear",),
    "journal-forgotten": ("database lost",),
    "loss-not-told": ("both lost",),
    "freed-before-backup": ("holiday", "browser killed"),
    "backed-up-too-early": ("clear",),
    "receipt-unsigned": ("somebody else", "clear"),
    "rewound-ignored": ("backup made", "restored"),
}
# In so many seeds a planted fault is found, or the simulation does not look for it.
SEEDS_A_PLANT = range(1, 5)


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
    runs = simulate(planted, (Asked(seed, plant, PLANTS[plant]) for seed in SEEDS_A_PLANT))
    assert any(told.faults for told in runs)


def test_what_brings_a_planted_fault_out_is_harmless_without_it(planted):
    for told in simulate(planted, [Asked(1, only=only) for only in PLANTS.values()]):
        assert not told.faults, told.text()


def test_a_seed_is_a_run():
    with built() as program:
        first, second = simulate(program, [Asked(7), Asked(7)])
    assert first == second
