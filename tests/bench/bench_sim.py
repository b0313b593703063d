"""
How long a seed of the simulation should be: what it takes until each planted fault is found.

``python tests/bench/bench_sim.py [--most SEEDS] [SECONDS ...]`` prints, for each length of a seed
in the world's seconds, the seeds until each fault of `plants.ts` was found with everything going
wrong at once, and the processor's time for all of them as a ratio to that of the first length.
A fault that was not found in `--most` seeds is counted with all of them, and marked.

With `--most 64` and harms drawn by their weights alone, 20 s found six of nine; 10 s took 1.15
times as long and found five, 40 s 1.09 times and found eight, 80 s 0.87 times and found all. Since
a seed draws a few kinds of harm, the rare ones less rare, 20 s found eight with `--most 96`.
"""

import argparse
import resource
import sys
from collections.abc import Iterator
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2] / "server")]

from faults.sim.driver import Asked, built, simulate  # noqa: E402 - the path comes first
from faults.sim.test_sim import PLANTS  # noqa: E402 - the path comes first


def main() -> None:
    """Print a line for each length."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--most", type=int, default=40)
    parser.add_argument("seconds", type=int, nargs="*", default=[20, 10, 40, 80])
    asked = parser.parse_args()
    first = 0.0
    with built(plants=True) as program:
        for seconds in asked.seconds:
            before = _cpu_s()
            tried = _seeds_until_found(program, seconds, asked.most)
            spent = _cpu_s() - before
            first = first or spent
            seeds = sum(map(abs, tried.values()))
            told = ", ".join(
                f"{name} {count}" if count > 0 else f"{name} NOT in {-count}"
                for name, count in tried.items()
            )
            print(f"{seconds:4} s: {seeds} seeds, {spent / first:.2f} of the time: {told}")


def _seeds_until_found(program: Path, seconds: int, most: int) -> dict[str, int]:
    """Return for each plant how many seeds it took; below zero if it was not found in them."""
    tried = dict.fromkeys(PLANTS, 0)

    def wanted() -> Iterator[Asked]:
        for plant in PLANTS:
            while -tried[plant] < most and tried[plant] <= 0:
                tried[plant] -= 1
                yield Asked(-tried[plant], plant, seconds=seconds)

    now = iter(wanted())
    for told in simulate(program, now):
        plant = next(name for name, count in reversed(tried.items()) if count)
        if told.faults:
            tried[plant] = -tried[plant]
    return tried


def _cpu_s() -> float:
    """Return what this process and those it has waited for have taken."""
    return sum(
        usage.ru_utime + usage.ru_stime
        for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
        for usage in [resource.getrusage(who)]
    )


if __name__ == "__main__":
    main()
