"""
The long run: ``python -m tests.faults --minutes N [--seed S] [--jobs J]``, or one of its modes.

Runs seed after seed of the simulation until the time is over, or ``--seeds N`` of them, and prints
the whole story of each that found something. ``--seed S --minutes 0`` replays one. With
``--browser`` the seeds are kills in a real Chromium before a real server; from 90 minutes on 40
jobs go out at 2 kB/s as well. With ``--year-away`` a simulated phone that worked for a year without
a line sends 40 jobs and 600 photos over one of 2 kB/s that comes and goes.
"""

import argparse
import sys
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from itertools import chain, count, islice, takewhile
from math import inf
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2] / "server")]

from faults.faults import table  # noqa: E402 - the path comes first
from faults.sim.driver import Asked, Away, Told, built, simulate  # noqa: E402 - the path comes first


def main() -> int:
    """Run, tell, and return 1 if anything was found."""
    asked = _arguments()
    if asked.browser:
        return _in_a_browser(asked)
    if asked.year_away:
        return _a_year_away(asked.seed)
    began = time.monotonic()
    until = began + asked.minutes * 60 if asked.seeds is None else inf
    tried = claims = lost = 0
    done = Counter[str]()
    bad: list[int] = []
    with built() as program, ProcessPoolExecutor(asked.jobs) as pool:
        runs = [
            pool.submit(_run, program, asked, job, until)
            for job in range(asked.jobs if asked.minutes or asked.seeds else 1)
        ]
        for run in runs:
            for told in run.result():
                tried += 1
                done.update(told.done)
                claims, lost = claims + told.claims, lost + told.lost
                if told.faults:
                    bad.append(told.seed)
                    print(told.text(), end="\n\n")
    print(table(done))
    print(f"{claims} entries shown as kept; {lost} of them lost with both copies, and told")
    pace = tried * 60 / (time.monotonic() - began)
    print(f"{tried} seeds, {pace:.0f} a minute, {len(bad)} of them found something: {sorted(bad)}")
    return 1 if bad else 0


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__)
    parser.add_argument("--minutes", type=float, default=1)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seeds", type=int, help="run so many, however long that takes")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--browser", action="store_true")
    parser.add_argument("--year-away", action="store_true")
    return parser.parse_args()


def _in_a_browser(asked: argparse.Namespace) -> int:
    # Only then: a machine for the simulation alone needs no Chromium.
    from faults.browser.long import run

    failed = run(asked.seed, asked.minutes)
    print("\n".join(failed))
    return 1 if failed else 0


def _a_year_away(seed: int) -> int:
    with built() as program:
        [told] = simulate(program, [Asked(seed, away=Away())])
    for name, figure in told.figures.items():
        print(f"{name:<34}{figure:>16,.2f}".removesuffix(".00"))
    print(
        f"words heard: {len(told.words)}, among them:",
        *told.words[:: len(told.words) // 8],
        sep="\n  ",
    )
    print(*told.faults, sep="\n")
    return 1 if told.faults else 0


def _run(program: Path, asked: argparse.Namespace, job: int, until: float) -> list[Told]:
    """Run a job's share of the seeds, one at least, until the time is over or all are done."""
    seeds = (
        count(asked.seed) if asked.seeds is None else range(asked.seed, asked.seed + asked.seeds)
    )
    pasts = Asked(asked.seed).past + job
    # What goes on from one past is one job's: it is made once.
    own = (run for run in map(Asked, seeds) if (run.past - pasts) % asked.jobs == 0)
    more = takewhile(lambda _: time.monotonic() < until, own)
    told = list(simulate(program, chain(islice(own, 1), more)))
    return [one if one.faults else one.without_story() for one in told]


if __name__ == "__main__":
    sys.exit(main())
