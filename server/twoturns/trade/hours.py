"""
How long jobs took, out of the times of their own entries.

Between two entries of a job somebody works, unless nothing was written for more than an hour: that
is a pause (chosen: a drain, a road test or a cure is shorter). Of many jobs the middle one counts,
as one that stood open over a weekend would spoil a mean. The twin is `client/src/trade/hours.ts`.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median
from typing import Final

PAUSE_MINUTES: Final = 60  # chosen: see above


@dataclass(frozen=True)
class Spent:
    """Minutes of a job: worked, and in pauses."""

    worked: float
    paused: float


def spent(at_ms: Iterable[int]) -> Spent:
    """
    Return what a job took, from the times of its entries in ms, in any order.

    >>> spent([0, 30 * 60_000, 210 * 60_000])
    Spent(worked=30.0, paused=180.0)
    """
    times = sorted(at_ms)
    gaps = [(later - earlier) / 60_000 for earlier, later in pairwise(times)]
    return Spent(
        sum(gap for gap in gaps if gap <= PAUSE_MINUTES),
        sum(gap for gap in gaps if gap > PAUSE_MINUTES),
    )


def usual_minutes(jobs: Sequence[float]) -> float | None:
    """Return the middle of what jobs took, in minutes; None for none."""
    return median(jobs) if jobs else None
