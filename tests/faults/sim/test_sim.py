"""
The simulation, for a short time: nothing that a screen has shown as kept is lost, whatever fails.

Seeds are chosen by number, so the run is the same each time. ``python -m tests.faults`` goes on
with others. A process is slow in its first seeds, so few are started.
"""

import os
import random
import re
from collections import Counter

import pytest

from faults.sim.driver import Asked, Away, built, simulate

pytestmark = pytest.mark.slow(35)

SEEDS = range(2, 161, 3)
# What each fault of `plants.ts` is brought out by, so that it need not be waited for.
PLANTS = {
    "saved-at-success": ("quota", "unknown"),
    "journal-not-flushed": ("clear",),
    "photo-not-written": ("clear",),
    "journal-forgotten": ("database lost",),
    "loss-not-told": ("both lost",),
    "sent-by-number": ("enrolled anew", "bad"),
    "freed-before-backup": ("holiday", "browser killed"),
    "backed-up-too-early": ("clear",),
    "receipt-unsigned": ("somebody else", "clear"),
    "rewound-ignored": ("backup made", "restored"),
    "receipt-not-shown": ("restored",),
}
# In so many seeds, of two pasts, a planted fault is found, or the simulation does not look for it.
SEEDS_A_PLANT = range(25, 41)


@pytest.fixture(scope="module")
def program():
    with built() as path:
        yield path


def test_what_was_shown_as_kept_is_kept(program):
    done: Counter[str] = Counter()
    claims = 0
    told = list(simulate(program, map(Asked, SEEDS)))
    for one in told:
        assert not one.faults, one.text()
        done.update(one.done)
        claims += one.claims
    # It was no quiet time.
    assert claims > 80
    assert {"battery gone", "browser killed", "line: answer lost", "line: doubled"} <= set(done)
    # A seed is a run, whatever ran before it.
    assert list(simulate(program, [Asked(SEEDS[-1])])) == told[-1:]


ENTRIES = re.compile(r"Sending entries 1 to \d+ of (\d+)\. 0 of \d+ have gone, [\d.]+ MB of photos")
PHOTO = re.compile(r"Sending photo 1 of \d+, (\d+) kB of \d+ kB\. \d+ of \d+ ha(s|ve) gone, \d+")


def test_a_year_away_comes_in_over_a_line_that_is_hardly_one(program):
    """The whole of it, 40 jobs and 600 photos: ``python -m tests.faults --year-away``."""
    [told] = simulate(program, [Asked(1, away=Away(jobs=2, photos=10))])
    assert not told.faults, told.text()
    took = told.figures
    assert took["photos"] == took["photos let go of when backed up"] == 10
    # Nothing begins anew, and a line that is up is used. The clock is the simulation's.
    assert took["sent over must"] < 1.1
    assert took["days over the least"] < 3.5
    assert took["times the line went down"] > 10
    for said in (ENTRIES, PHOTO):
        assert any(said.match(words) for words in told.words), told.words


@pytest.fixture(scope="module")
def found():
    """Which planted faults were found, and what was found in a world without any: one process."""
    names: set[str] = set()
    with built(plants=True) as path:
        asked = [
            Asked(seed, plant, only) for plant, only in PLANTS.items() for seed in SEEDS_A_PLANT
        ]
        now = ""

        def wanted():
            nonlocal now
            for one in asked:
                if one.plant not in names:
                    now = one.plant
                    yield one
            now = ""
            yield from (Asked(1, only=only) for only in sorted(set(PLANTS.values())))

        for told in simulate(path, wanted()):
            assert now or not told.faults, told.text()
            names.update([now] if told.faults else [])
    return names


@pytest.mark.parametrize("plant", PLANTS)
def test_a_planted_fault_is_found_and_its_world_without_it_is_clean(found, plant):
    assert plant in found


def test_chance_is_the_systems_again_after_a_run(program):
    real = os.urandom
    list(simulate(program, [Asked(seed=1, seconds=1)]))
    assert os.urandom is real
    assert random._urandom is real
