"""
Coolant of ethylene glycol and water: what freezes where, and what to fill after a drain.

Published freeze points of one mix lie 2 to 3 K apart. The table here is the warmer of S1 and S2 at
every ten per cent, and what is shown is rounded to the warm side: an engine block is not where to
be hopeful. Parts are by volume, as coolant is poured. A maker's coolant is mixed by its own label.

Sources: S1, CoolProp's fit INCOMP::AEG (by volume), read at 10 to 60 %. S2, the public table by
volume, of ASTM D1177: -3.4, -7.9, -13.7, -23.5, -36.8, -52.8 °C at 10 to 60 %, found whole in one
place and at 30, 50 and 60 % in a second. S3, ASHRAE 1993, worked example of mass to volume (1,000
gallons at 30 % by mass, specific gravity 1.1155: 277.6 gallons).
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Final

from twoturns.words import t
from twoturns.words.en.trade import coolant as words

MOST_PERCENT: Final = 60  # S2: beyond, more glycol freezes warmer again
# The tens: the warmer of S1 and S2. The fives are chosen, because the curve bends downward, so that
# a straight line between two rows lies on its cold side: each is a little warmer than a curve
# through the tens of S2 would be there, and the last row than S1.
_TABLE: Final = (
    (0, 0.0),
    (5, -1.5),
    (10, -3.4),
    (15, -5.3),
    (20, -7.9),
    (25, -10.2),
    (30, -13.7),
    (35, -17.8),
    (40, -23.5),
    (45, -29.5),
    (50, -36.8),
    (55, -44.0),
    (MOST_PERCENT, -51.9),
)
SPECIFIC_GRAVITY: Final = 1.1155  # S3, of the glycol


def freeze_point_c(percent: float) -> float:
    """
    Return where a mix begins to freeze, °C: the warmer of S1 and S2, and straight between.

    Args:
        percent: Glycol by volume, 0 to 60.

    Raises:
        ValueError: It is outside the table.

    >>> freeze_point_c(50), freeze_point_c(33)
    (-36.8, -16.16)
    """
    if not 0 <= percent <= MOST_PERCENT:
        raise ValueError(f"the mix must be 0 to {MOST_PERCENT} % glycol, got {percent:g}")
    for (low, warm), (high, cold) in itertools.pairwise(_TABLE):
        if percent <= high:
            return round(warm + (cold - warm) * (percent - low) / (high - low), 2)
    raise AssertionError("the table ends at its last row")


def shown_freeze_point_c(percent: float) -> int:
    """
    Return the freeze point as it is told to people: whole degrees, rounded to the warm side.

    >>> shown_freeze_point_c(50), shown_freeze_point_c(45)
    (-36, -29)
    """
    return math.ceil(freeze_point_c(percent))


def percent_for(freeze_point: float) -> int:
    """
    Return the least whole percentage that does not freeze above a temperature, °C.

    >>> percent_for(-36), percent_for(0)
    (50, 0)
    """
    for percent in range(MOST_PERCENT + 1):
        if freeze_point_c(percent) <= freeze_point:
            return percent
    raise ValueError(
        f"no mix holds to {freeze_point:g} °C: {MOST_PERCENT} % holds to {_TABLE[-1][1]:g}"
    )


def volume_percent(mass_percent: float) -> float:
    """
    Return glycol by volume from glycol by mass, %, shrinking on mixing left out. S3.

    >>> round(volume_percent(30), 4)
    27.7559
    """
    if not 0 <= mass_percent <= 100:
        raise ValueError(f"the mix must be 0 to 100 % by mass, got {mass_percent:g}")
    glycol = mass_percent / SPECIFIC_GRAVITY
    return 100 * glycol / (glycol + 100 - mass_percent)


@dataclass(frozen=True)
class Fill:
    """
    What to fill after a drain: litres of concentrate and of water, and the mix that gives.

    `is_reached` says whether that is what was wanted; if not, `says` tells what to do.
    """

    concentrate_l: float
    water_l: float
    percent: float
    is_reached: bool
    says: str


def fill_for(system_l: float, drained_l: float, percent: float, wanted_percent: float) -> Fill:
    """
    Return what to fill so that the whole system has the mix that is wanted, what stayed included.

    Args:
        system_l: All that the system holds, L.
        drained_l: What comes out at a drain, L. The rest stays in block and heater.
        percent: Glycol before.
        wanted_percent: What the vehicle's maker asks for.

    >>> fill = fill_for(8, 5.5, 20, 50)
    >>> round(fill.concentrate_l, 2), round(fill.water_l, 2), fill.is_reached
    (3.5, 2.0, True)
    """
    _check(system_l, drained_l, percent, wanted_percent)
    if wanted_percent > MOST_PERCENT:
        raise ValueError(f"more than {MOST_PERCENT} % glycol freezes warmer again")
    rest_l = (system_l - drained_l) * percent / 100
    wanted_l = system_l * wanted_percent / 100 - rest_l
    concentrate_l = min(max(wanted_l, 0.0), drained_l)
    # Litres in binary miss a whole percentage by less than anybody measures: 60 would be above 60.
    reached = round((rest_l + concentrate_l) / system_l * 100, 9)
    if wanted_l > drained_l:
        says = t(words.FILL_CONCENTRATE_FIRST)
    elif wanted_l < 0:
        says = t(words.FILL_WATER_FIRST)
    else:
        says = t(
            words.MIX_BEFORE_FILLING,
            concentrate_pct=f"{100 * concentrate_l / drained_l:.1f}",
        )
    return Fill(concentrate_l, drained_l - concentrate_l, reached, 0 <= wanted_l <= drained_l, says)


def _check(system_l: float, drained_l: float, *percents: float) -> None:
    if not (math.isfinite(system_l) and system_l > 0):
        raise ValueError(f"system_l must be finite and above zero, got {system_l!r}")
    if not 0 < drained_l <= system_l:
        raise ValueError(f"of {system_l:g} L, {drained_l:g} L cannot come out")
    for each in percents:
        if not 0 <= each <= 100:
            raise ValueError(f"a mix must be 0 to 100 % glycol, got {each:g}")
