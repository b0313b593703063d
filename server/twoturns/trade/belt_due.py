"""
Is the belt of a vehicle due, by what the caller knows: a verdict, and the warning in writing.

What nobody knows counts as due now: a belt shows from outside neither its age nor its distance
(common practice, no source). A belt that is due within three months or 5,000 km is *soon*: a shop
was held liable that had only hinted at it (S1). How long a belt may last is the maker's to say.

Sources: S1, OLG Schleswig, 4 U 171/09, and LG Hamburg, 329 O 285/17, as quoted in the trade: a
clear warning of a belt change that stands close before, within three months or 5,000 km.
The twin is `client/src/trade/belt-due.ts`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from twoturns.trade.interval import (
    Due,
    Forecast,
    Interval,
    Reading,
    due,
    forecast,
    months_later,
    why_due,
)
from twoturns.words import t
from twoturns.words.en.trade import belt_due as words

SOON_MONTHS: Final = 3  # S1
SOON_KM: Final = 5_000  # S1


@dataclass(frozen=True)
class Fitted:
    """When the belt was fitted, as far as it is known."""

    on: date | None = None
    km: int | None = None


@dataclass(frozen=True)
class Verdict:
    """
    `code`: overdue, belt_unknown, interval_unknown, soon or later; `says`: the same in a sentence.
    `limit` is what is known of where the belt ends, `found` the forecast where readings give one.
    """

    code: str
    says: str
    limit: Due
    found: Forecast | None


def judge_belt(
    fitted: Fitted, interval: Interval | None, readings: Sequence[Reading], today: date
) -> Verdict:
    """
    Judge a belt by what is known of it, and by readings of the vehicle's odometer.

    >>> judge_belt(Fitted(), Interval(90_000, 60), [], date(2026, 6, 1)).code
    'belt_unknown'
    """
    nothing = Due(None, None)
    if interval is None:
        return Verdict("interval_unknown", t(words.INTERVAL_UNKNOWN), nothing, None)
    limit = _limit(fitted, interval)
    if limit == nothing:
        return Verdict("belt_unknown", t(words.BELT_UNKNOWN), nothing, None)
    known = [*readings]
    if fitted.on is not None and fitted.km is not None:
        known.append(Reading(fitted.on, fitted.km))
    found = forecast(limit, known, today)
    because = why_due(limit, known, today)
    if because is not None:
        return Verdict("overdue", because, limit, found)
    if _is_soon(limit, found, known, today):
        return Verdict("soon", t(words.SOON, months=SOON_MONTHS, km=SOON_KM), limit, found)
    return Verdict("later", _later(found), limit, found)


def _limit(fitted: Fitted, interval: Interval) -> Due:
    """Return where the belt ends, by the parts of the interval whose beginning is known."""
    whole = due(fitted.km or 0, fitted.on or date.min, interval)
    return Due(
        None if fitted.km is None else whole.km,
        None if fitted.on is None else whole.on,
    )


def _is_soon(limit: Due, found: Forecast, readings: Sequence[Reading], today: date) -> bool:
    most = max((each.km for each in readings), default=0)
    if limit.km is not None and limit.km - most < SOON_KM:
        return True
    return found.on is not None and found.on < months_later(today, SOON_MONTHS)


def _later(found: Forecast) -> str:
    if found.on is None:
        return t(words.LATER_BY_KM)
    if found.by == "date":
        return t(words.LATER_BY_DATE, on=str(found.on))
    return t(words.LATER, on=str(found.on), earliest=str(found.earliest), latest=str(found.latest))


def warning(verdict: Verdict, plate: str) -> str | None:
    """
    Return what the customer is warned of in writing; None where nothing is due.

    >>> fine = judge_belt(Fitted(km=0), Interval(90_000), [Reading(date(2026, 6, 1), 100)],
    ...     date(2026, 6, 1))
    >>> warning(fine, "TB 12")
    """
    if verdict.code in ("later", "interval_unknown"):
        return None
    return t(words.WARNING, why=verdict.says, plate=plate, known=plate != "")
