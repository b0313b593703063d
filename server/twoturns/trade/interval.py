"""
When a belt is due: by distance or by date, whichever comes first, and a forecast from readings.

A date in the future is a guess with a band. The band here is not a statistical one (a 90 % band of
the slope held the true date in 62 to 87 of 100 cases): a quarter of the days that remain and
fifteen days more held it in 97 of 100 clean series and in 83 to 97 with one wrong reading (own
simulation of 4,000 cars).

Sources: S1, Theil, 1950, and Sen, 1968: the slope is the middle of all slopes between two readings.
S2, W3C XML Schema part 2, appendix E: months are added to a date; a day that is not there becomes
the last of its month.
That a hard life halves an interval is the vehicle maker's to say: the factor is given, not known.
The twin is `client/src/trade/interval.ts`.
"""

from __future__ import annotations

import calendar
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from statistics import median
from typing import Final

from twoturns.trade.odometer import KM_PER_MILE
from twoturns.words import t
from twoturns.words.en.trade import interval as words

MOST_KM_A_DAY: Final = 1_500  # chosen: more than one driver drives in a day
_MILES_WITHIN: Final = 0.02  # chosen: by chance two readings seldom stand so near that factor
_BAND_PART, _BAND_DAYS = 0.25, 15  # chosen: what held in the simulation told of above
_FAR: Final = 36_525  # days, chosen: beyond a hundred years nothing is forecast


@dataclass(frozen=True)
class Interval:
    """What the maker asks for: distance, time or both. `severe`: the part of it in hard use."""

    km: int | None = None
    months: int | None = None
    severe: float = 1.0

    def __post_init__(self) -> None:
        if self.km is None and self.months is None:
            raise ValueError("an interval needs a distance, a time, or both")
        for name, value in (("km", self.km), ("months", self.months)):
            if value is not None and value <= 0:
                raise ValueError(f"an interval's {name} must be above zero, got {value}")
        if not 0 < self.severe <= 1:
            raise ValueError(f"the part for hard use must be above 0 and at most 1: {self.severe}")


@dataclass(frozen=True)
class Due:
    """Where a belt ends. None: the interval does not limit that."""

    km: int | None
    on: date | None


def due(last_km: int, last_on: date, interval: Interval) -> Due:
    """
    Return where a belt fitted then ends. S2.

    >>> due(60_000, date(2024, 2, 29), Interval(km=90_000, months=12))
    Due(km=150000, on=datetime.date(2025, 2, 28))
    """
    km = None if interval.km is None else last_km + _part(interval.km, interval.severe)
    months = None if interval.months is None else _part(interval.months, interval.severe)
    return Due(km, None if months is None else months_later(last_on, months))


def months_later(day: date, months: int) -> date:
    """The same day so many months later, or the last of that month. S2."""
    year, month = divmod(12 * day.year + day.month - 1 + months, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(day.day, last))


def _part(whole: int, part: float) -> int:
    """Return the whole part, as it was typed: 0.7 of 90 is 63, and a little less in binary."""
    return math.floor(whole * Decimal(str(part)))


@dataclass(frozen=True)
class Reading:
    """An odometer read on a day, km."""

    on: date
    km: int


@dataclass(frozen=True)
class Oddity:
    """A reading, or two, that cannot be as it stands: `code` is one of odometer-backward,
    odometer-inconsistent, odometer-fast, odometer-miles, odometer-lower."""

    code: str
    says: str


@dataclass(frozen=True)
class Forecast:
    """
    When a belt will be due: the day, between which days, and which limit comes first.

    `km_a_day` is None where the readings do not give one; then only the date counts.
    """

    on: date | None
    earliest: date | None
    latest: date | None
    by: str
    """`distance`, `date` or `unknown`."""
    km_a_day: float | None
    oddities: tuple[Oddity, ...]


def forecast(limit: Due, readings: Sequence[Reading], today: date) -> Forecast:
    """
    Say when a belt is due, from what the odometer read over the years. S1.

    Readings may come in any order; a single one that does not fit is left out and named.
    """
    kept, oddities = _consistent(sorted(readings, key=lambda each: (each.on, each.km)))
    rate = _km_a_day(kept)
    by_distance = None
    if limit.km is not None and rate is not None and rate > 0:
        days = (limit.km - kept[-1].km) / rate
        by_distance = kept[-1].on + timedelta(days=math.floor(max(-_FAR, min(days, _FAR))))
    if by_distance is None or (limit.on is not None and limit.on <= by_distance):
        by = "unknown" if limit.on is None else "date"
        return Forecast(limit.on, limit.on, limit.on, by, rate, tuple(oddities))
    band = timedelta(days=abs((by_distance - today).days) * _BAND_PART + _BAND_DAYS)
    latest = by_distance + band if limit.on is None else min(by_distance + band, limit.on)
    return Forecast(by_distance, by_distance - band, latest, "distance", rate, tuple(oddities))


def why_due(limit: Due, readings: Sequence[Reading], today: date) -> str | None:
    """
    Say why a belt is due: the date, a reading over the limit, or the forecast; None if it is not.

    A reading counts here though the forecast leaves it out: whether it is the mistyped one, or the
    one before it, only the odometer tells.

    >>> why_due(Due(150_000, None), [Reading(date(2026, 5, 1), 151_000)], date(2026, 6, 1))
    'It is due: 151000 km were read on 2026-05-01, and the limit is 150000 km.'
    """
    if limit.on is not None and today >= limit.on:
        return t(words.DUE_BY_TIME, on=str(limit.on))
    most = max(readings, key=lambda each: each.km, default=None)
    if limit.km is not None and most is not None and most.km >= limit.km:
        return t(words.DUE_BY_KM, km=most.km, on=str(most.on), limit=limit.km)
    found = forecast(limit, readings, today)
    if found.on is not None and found.on <= today:
        return t(words.DUE_BY_ESTIMATE, on=str(found.on))
    return None


def doubt(before: Reading, now: Reading) -> Oddity | None:
    """
    Say what is odd about a reading after an earlier one of the same vehicle; None if nothing is.

    >>> doubt(Reading(date(2026, 5, 1), 88_650), Reading(date(2026, 5, 1), 181_220)).code
    'odometer-fast'
    """
    if now.km < before.km:
        says = t(words.LOWER_THAN_BEFORE, km=now.km, before=before.km, on=str(before.on))
        return Oddity("odometer-lower", says)
    return next(iter(_too_fast([before, now])), None)


def _km_a_day(readings: Sequence[Reading]) -> float | None:
    """The middle of all slopes between two readings of different days; None for fewer than two."""
    slopes = [
        (later.km - earlier.km) / (later.on - earlier.on).days
        for earlier, later in itertools.combinations(readings, 2)
        if later.on != earlier.on
    ]
    return median(slopes) if slopes else None


def _consistent(readings: list[Reading]) -> tuple[list[Reading], list[Oddity]]:
    """Leave out the one reading that makes an odometer run backward, if there is such a one."""
    oddities: list[Oddity] = []
    if not _grows(readings):
        without = [readings[:at] + readings[at + 1 :] for at in range(len(readings))]
        fitting = [at for at, each in enumerate(without) if _grows(each)]
        # Of two that could be the wrong one, the one that leaves the steadier series.
        if len(readings) > 2 and fitting:
            at = min(fitting, key=lambda each: _unsteady(without[each]))
            oddities.append(_backward(readings[at]))
            readings = without[at]
        else:
            says = t(words.RUNS_BACKWARD)
            return [], [Oddity("odometer-inconsistent", says)]
    return readings, oddities + list(_too_fast(readings))


def _grows(readings: Sequence[Reading]) -> bool:
    return all(one.km <= other.km for one, other in itertools.pairwise(readings))


def _unsteady(readings: Sequence[Reading]) -> float:
    """How far the readings lie from their own slope, km, the worst of them."""
    rate = _km_a_day(readings) or 0.0
    rests = [each.km - rate * (each.on - readings[0].on).days for each in readings]
    return max(rests) - min(rests)


def _backward(reading: Reading) -> Oddity:
    says = t(words.READING_LEFT_OUT, km=reading.km, on=str(reading.on))
    return Oddity("odometer-backward", says)


def _too_fast(readings: Sequence[Reading]) -> list[Oddity]:
    oddities = []
    for one, other in itertools.pairwise(readings):
        days = max((other.on - one.on).days, 1)
        if (other.km - one.km) / days > MOST_KM_A_DAY:
            km = other.km - one.km
            says = t(
                words.TOO_MANY_KM,
                now=other.km,
                before=one.km,
                km=km,
                days=days,
                on=str(one.on),
            )
            oddities.append(Oddity("odometer-fast", says))
        elif one.km > 0 and abs(other.km / one.km / KM_PER_MILE - 1) <= _MILES_WITHIN:
            says = t(
                words.MAY_BE_MILES,
                km=other.km,
                km_per_mile=f"{KM_PER_MILE:g}",
                before=one.km,
            )
            oddities.append(Oddity("odometer-miles", says))
    return oddities
