"""
The browser's part of the long run: 40 jobs over a line of 2 kB/s, then kills, seed after seed.

Each seed has a workshop, a phone and a line of its own. What fails is told with its seed.
"""

from __future__ import annotations

import tempfile
import time
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from random import Random

from playwright.sync_api import Playwright, sync_playwright

import hatch_build
from browser.serving import ROOT, ServedWorkshop
from faults.browser.golden import SmallFilm
from faults.browser.rig import Rig, new_rig
from faults.browser.test_kills import kill_through_a_job
from faults.browser.test_slow import come_back
from faults.proxy import Line
from twoturns.store import Store
from twoturns.store.bundles import publish
from workshop import tiny_bundle

JOBS = 40
#: So slow that all of it takes the better part of an hour.
HARDLY_A_LINE = {"bytes_a_second": 2_000, "latency_s": 5, "flaps_s": (60, 5)}
AN_HOUR_AND_A_HALF_S = 5400


def run(first_seed: int, minutes: float) -> list[str]:
    """Run until the time is over; return what failed. The slow line only if time allows."""
    hatch_build.bring_up_to_date(ROOT, install=False)
    until, failed = time.monotonic() + minutes * 60, []

    def one(name: str, act: Callable[[Rig], object]) -> None:
        with tempfile.TemporaryDirectory() as folder:
            try:
                with rig_in(playwright, Path(folder)) as rig:
                    act(rig)
            except Exception:  # noqa: BLE001 - whatever it is, the other seeds are still run
                failed.append(f"{name}\n{traceback.format_exc()}")

    with sync_playwright() as playwright:
        if minutes * 60 > AN_HOUR_AND_A_HALF_S:
            line = Line(**HARDLY_A_LINE)
            one("slow line", lambda rig: come_back(rig, line, JOBS, AN_HOUR_AND_A_HALF_S))
        for seed in count(first_seed):
            rng = Random(seed)
            one(f"kills, seed {seed}", lambda rig: kill_through_a_job(rig, rng, rng.randrange(6)))  # noqa: B023 - done at once
            if time.monotonic() > until:
                print(f"{seed - first_seed + 1} seeds of kills in a browser, {len(failed)} failed")
                return failed
    raise AssertionError("seeds do not end")


@contextmanager
def rig_in(playwright: Playwright, folder: Path) -> Iterator[Rig]:
    workshop = ServedWorkshop(folder)
    publish(Store(workshop.data), tiny_bundle(), datetime.now(UTC))
    workshop.start()
    try:
        rig = new_rig(playwright, workshop, SmallFilm(folder / "film.mjpeg"), folder)
        rig.join()
        yield rig
    finally:
        workshop.kill()
