"""
What a tool was found to do at a check, and what that says of what was done with it.

A wrench that clicks is set to a value and delivers another. A check *as found* (before anybody
adjusts it) has both at some points of its scale. Between two points the error is taken to go
straight from one to the other; outside of them nobody knows it, and nothing is said. A tool that
*shows* (thermometer, gauge) is held against something known, and may be off by so much of its unit,
not by a part: what was there is what it showed, less its error at what it showed.

Sources: S1, ISO 6789, type II, class A, as a wrench maker's manual quotes it: a point may be off by
4 % of what the test device reads, up to 10 N·m by 6 % (that by this source alone). S2, a web guide
to that standard by a calibration firm: 4 % for wrenches that click, at 20, 60 and 100 % of scale.
S3, ISO 9001:2015, 7.1.5.2: when a tool is found unfit, whether what was measured with it before
still stands is to be determined. That a correction compensates for an error, which may not be
beyond the maximum permissible one, that the error between two points is a straight line, and that a
day on which a tool was checked counts to both sides of the check: common practice, no source.
The twin is `client/src/trade/as-found.ts`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal

Verdict = Literal["inside", "outside", "unknown"]

_ROUNDING: Final = 1e-9  # of a part: what adding decimals up as binary numbers may be off
_LAST_DAY: Final = "9999-12-31"


@dataclass(frozen=True)
class Point:
    """
    What a wrench was set to, and what it delivered, in one unit; of a tool that shows what was
    there, and what it showed.
    """

    nominal: float
    found: float
    direction: str | None = None


@dataclass(frozen=True)
class Check:
    """
    A check of a tool on a day (YYYY-MM-DD). `points` are as found, and `allowed_percent` what each
    may be off, or `allowed`, in `unit`, of a tool that shows; without points it is a calibration,
    after which the tool is as it should be.
    """

    id: str
    on: str
    unit: str = ""
    points: tuple[Point, ...] = ()
    allowed_percent: float = 0.0
    allowed: float | None = None

    @property
    def is_good(self) -> bool:
        """Whether the tool may be used by it."""
        if self.allowed is not None:
            return all(abs(error(one)) <= self.allowed + _ROUNDING for one in self.points)
        return all(is_within(one, self.allowed_percent) for one in self.points)


def is_within(point: Point, allowed_percent: float) -> bool:
    """
    Say whether a point is off by no more than is allowed, of what the test device read. S1.

    >>> is_within(Point(100, 96.2), 4), is_within(Point(100, 96.0), 4)
    (True, False)
    """
    if not (point.nominal > 0 and point.found > 0):
        return False
    off = abs(point.nominal - point.found)
    return off <= point.found * (allowed_percent / 100 + _ROUNDING)


def off_percent(point: Point) -> float:
    """
    Return by how much of its setting a wrench delivers more (below 0: less), in percent.

    >>> round(off_percent(Point(20, 18.2)), 6)
    -9.0
    """
    return (point.found / point.nominal - 1) * 100 if point.nominal > 0 else math.nan


def worst(points: Iterable[Point]) -> Point:
    """Return the point that is off the most; the first of several."""
    return max(points, key=lambda one: abs(off_percent(one)) if one.nominal > 0 else math.inf)


def error(point: Point) -> float:
    """
    Return by how much a tool that shows showed too much (below 0: too little), in its unit.

    >>> error(Point(nominal=100, found=101.5))
    1.5
    """
    return point.found - point.nominal


def really(points: Sequence[Point], read: float) -> float | None:
    """
    Return what was there when a tool showed a figure; None outside of what it showed at its check.

    Several of one figure count as their mean.

    >>> points = [Point(0, 1.0), Point(100, 103.0)]
    >>> round(really(points, 52), 6), really(points, 110)
    (50.0, None)
    """
    at: dict[float, list[float]] = {}
    for one in points:
        at.setdefault(one.found, []).append(error(one))
    line = [(found, sum(at[found]) / len(at[found])) for found in sorted(at)]
    off = _between(line, read)
    return None if off is None else read - off


def delivered(points: Sequence[Point], setting: float) -> float | None:
    """
    Return what a wrench delivers at a setting; None outside of the points at which it was checked.

    By its points clockwise, as nearly all fasteners are tightened; by all, where there are none.
    Several of one nominal count as their mean.

    >>> points = [Point(20, 18.2), Point(60, 57), Point(100, 99)]
    >>> round(delivered(points, 40), 6), delivered(points, 10)
    (37.2, None)
    """
    off = _between(_line(points), setting)
    return None if off is None else setting * (1 + off)


def _between(line: Sequence[tuple[float, float]], at: float) -> float | None:
    """Return what lies straight between the points of a line, upwards; None outside of them."""
    for (low, off_low), (high, off_high) in zip(line, line[1:] or line, strict=False):
        rounding = _ROUNDING * max(abs(low), abs(high))
        if low - rounding <= at <= high + rounding:
            part = (at - low) / (high - low) if high > low else 0.0
            return off_low + (off_high - off_low) * part
    return None


def _line(points: Sequence[Point]) -> list[tuple[float, float]]:
    """Return each nominal value, upwards, with the part by which it is off."""
    usable = [one for one in points if one.nominal > 0 and one.found >= 0]
    clockwise = [one for one in usable if one.direction != "anticlockwise"]
    at: dict[float, list[float]] = {}
    for one in clockwise or usable:
        at.setdefault(one.nominal, []).append(one.found / one.nominal - 1)
    return [(nominal, sum(at[nominal]) / len(at[nominal])) for nominal in sorted(at)]


def judged(
    value: float, actual: float | None, low: float | None, high: float | None
) -> tuple[Verdict, float]:
    """
    Judge what a fastener got against the limits it was tightened to.

    Args:
        value: What was written down.
        actual: What it really got; None where nobody knows.
        low: The least it may be; None: no limit.
        high: The most it may be; None: no limit.

    Returns:
        The verdict, and how far beyond the limit, in parts of what was asked for: the worst has
        the largest. Without any limit the verdict is `unknown`.

    >>> verdict, beyond = judged(26, 23.66, 24.96, 27.04)
    >>> verdict, round(beyond, 6)
    ('outside', 0.05)
    """
    if actual is None or (low is None and high is None) or value <= 0:
        return "unknown", 0.0
    below = 0.0 if low is None else (low - actual) / value
    above = 0.0 if high is None else (actual - high) / value
    beyond = max(below, above)
    return ("outside", beyond) if beyond > _ROUNDING else ("inside", 0.0)


def distrusted_by(checks: Iterable[Check]) -> Check | None:
    """Return the check that found a tool out, if no good one has followed."""
    ordered = _in_order(checks)
    return ordered[-1] if ordered and not ordered[-1].is_good else None


def found_out(checks: Iterable[Check], day: str) -> Check | None:
    """
    Return the check by which what a tool tightened on a day is doubted; None: nothing doubts it.

    Doubted is what lies between the last good check before one that found the tool out and the next
    good one after it, both days included. Of several such checks in between: the first from that
    day on, or else the last.

    Args:
        checks: All checks of one tool, in the order in which they were stated.
        day: YYYY-MM-DD.
    """
    first, bad = "", list[Check]()
    for check in [*_in_order(checks), Check("", _LAST_DAY)]:
        if not check.is_good:
            bad.append(check)
            continue
        if bad and first <= day <= check.on:
            return next((one for one in bad if one.on >= day), bad[-1])
        first, bad = check.on, []
    return None


def span(checks: Iterable[Check], found: Check) -> tuple[str, str]:
    """
    Return the days from which to which a check that found a tool out doubts what it tightened: of
    the good check before and the one after it; `""` and 9999-12-31 where there is none.
    """
    first = ""
    ordered = _in_order(checks)
    for check in ordered[: ordered.index(found)]:
        first = check.on if check.is_good else first
    after = (one.on for one in ordered[ordered.index(found) :] if one.is_good)
    return first, next(after, _LAST_DAY)


def _in_order(checks: Iterable[Check]) -> list[Check]:
    """Return checks by their days; of one day in the order in which they were stated."""
    return sorted(checks, key=lambda one: one.on)


def shown(value: float) -> str:
    """
    Return a figure to two places, without zeros at its end; halves upward as the phone rounds them.

    >>> shown(23.66), shown(23.6), shown(9.0)
    ('23.66', '23.6', '9')
    """
    if not math.isfinite(value * 100):
        return f"{value:g}"  # a decimal may have hundreds of digits
    text = f"{math.floor(value * 100 + 0.5) / 100:.2f}"
    return text.rstrip("0").rstrip(".")
