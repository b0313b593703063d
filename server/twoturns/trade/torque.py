"""
What to set on a torque wrench, and whether a wrench may be used for a value at all.

Sources: S1, US Army TM 9-2350-277-40&P and TM 5-3805-274-13&P (adaptor in line), TM 9-254
(the cosine), TM 9-2350-277-20-2 (at right angles no correction). S2, ISO 6789, as two makers of
torque tools quote it: calibration holds until its date or for 5,000 cycles by default; by the
edition of 2017 the range begins at the lowest marked value. S3, ISO 6789:2003, as a tool maker's
manual and a calibration laboratory quote it: checked at 20, 60 and 100 % of the largest value.
S4, ISO 6789, type II, class A, as a wrench maker's manual quotes it: 4 % off, up to 10 N·m 6 %.
The twin is `client/src/trade/torque.ts`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from twoturns.words import t
from twoturns.words.en.trade import torque as words

CYCLES_PER_CALIBRATION = 5000  # S2
LOWEST_PART = 0.2  # S3, where no lowest mark is known


def deviation(torque_nm: Decimal) -> Decimal:
    """
    Return the part of a setting by which a wrench that clicks may be off. S4.

    >>> deviation(Decimal(10)), deviation(Decimal(26))
    (Decimal('0.06'), Decimal('0.04'))
    """
    return Decimal("0.04") if torque_nm > 10 else Decimal("0.06")


def wrench_setting_nm(
    torque_nm: float, wrench_mm: float, adaptor_mm: float, angle_deg: float = 0
) -> float:
    """
    Return what to set so that the fastener gets a torque through an adaptor: T·L / (L + E·cos a).

    Args:
        torque_nm: Torque asked for at the fastener, N·m.
        wrench_mm: From the middle of the hand to the middle of the square, mm.
        adaptor_mm: From the middle of the square to the middle of the fastener, mm.
        angle_deg: Between adaptor and wrench axis: 0 lengthens, 90 changes nothing, 180 shortens.

    Raises:
        ValueError: If a length or the torque is not finite and above zero (an adaptor may be 0),
            if the angle is beyond a turn, or if the adaptor reaches back to the hand.

    Source: S1.

    >>> round(wrench_setting_nm(40, wrench_mm=12, adaptor_mm=4), 1)
    30.0
    """
    return torque_nm / _gain(torque_nm, wrench_mm, adaptor_mm, angle_deg)


def _gain(torque_nm: float, wrench_mm: float, adaptor_mm: float, angle_deg: float) -> float:
    for name, value in {"torque_nm": torque_nm, "wrench_mm": wrench_mm}.items():
        if not (math.isfinite(value) and value > 0):
            raise ValueError(f"{name} must be finite and above zero, got {value!r}")
    if not (math.isfinite(adaptor_mm) and adaptor_mm >= 0):
        raise ValueError(f"adaptor_mm must be finite and not below zero, got {adaptor_mm!r}")
    if not abs(angle_deg) <= 360:
        raise ValueError(f"angle_deg must be -360 to 360, got {angle_deg!r}")
    arm_mm = wrench_mm + adaptor_mm * math.cos(math.radians(angle_deg))
    if arm_mm <= 0:
        raise ValueError(f"an adaptor of {adaptor_mm:g} mm reaches back to the hand")
    return arm_mm / wrench_mm


@dataclass(frozen=True)
class Pull:
    """One pull of a staged tightening: which bolt, and to what, N·m or degrees further."""

    stage: int
    bolt: str
    nm: float | None = None
    angle_deg: float | None = None


def staged(bolts: Sequence[str], stages: Sequence[tuple[float | None, float | None]]) -> list[Pull]:
    """
    Return every pull in its order: all bolts to the first stage, then all to the next.

    Args:
        bolts: In the order they are pulled. Opposite ones first: `star`.
        stages: Each a torque in N·m, or an angle in degrees; an angle comes after a torque, and
            no torque after an angle: it would only say that the bolt turns no further.

    Raises:
        ValueError: No bolts, no stages, or stages that go down or mix the two.

    >>> [(each.bolt, each.nm or each.angle_deg) for each in staged("ab", [(20, None), (None, 90)])]
    [('a', 20), ('b', 20), ('a', 90), ('b', 90)]
    """
    if not bolts or not stages:
        raise ValueError("a staged tightening needs bolts and stages")
    reached = 0.0
    for number, (nm, angle) in enumerate(stages, start=1):
        if (nm is None) == (angle is None):
            raise ValueError(f"stage {number} is one torque, or one angle")
        if nm is not None and nm <= reached:
            is_angle = math.isinf(reached)
            raise ValueError(
                f"stage {number} asks for {nm:g} N·m after "
                f"{'an angle' if is_angle else f'{reached:g} N·m'}"
            )
        if angle is not None and (reached == 0 or angle <= 0):
            raise ValueError(f"stage {number} asks for {angle:g}° of a bolt that is not snug")
        reached = math.inf if nm is None else nm
    return [
        Pull(number, bolt, nm, angle)
        for number, (nm, angle) in enumerate(stages, start=1)
        for bolt in bolts
    ]


def star(count: int) -> list[int]:
    """
    Return the places of a ring of bolts, from 1, so that each next one lies far from the last.
    Common practice, no source.

    >>> star(6), star(5)
    ([1, 4, 2, 5, 3, 6], [1, 4, 2, 5, 3])
    """
    if count < 1:
        raise ValueError(f"a ring has one bolt or more, got {count}")
    half = (count + 1) // 2
    pairs = ((each, each + half) for each in range(1, half + 1))
    return [place for pair in pairs for place in pair if place <= count]


@dataclass(frozen=True)
class Wrench:
    """A registered wrench. Dates are YYYY-MM-DD; `low_nm` is its lowest mark, if that is known."""

    high_nm: float
    low_nm: float | None = None
    calibration_due: str | None = None
    cycles: int = 0  # clicks since the calibration, as far as they are known

    def __post_init__(self) -> None:
        if not 0 < self.high_nm < math.inf:
            raise ValueError(f"high_nm must be finite and above zero, got {self.high_nm!r}")
        if self.low_nm is not None and not 0 < self.low_nm <= self.high_nm:
            raise ValueError(
                f"low_nm must be above zero and at most {self.high_nm:g}, got {self.low_nm!r}"
            )
        if self.cycles < 0:
            raise ValueError(f"cycles must not be below zero, got {self.cycles}")


@dataclass(frozen=True)
class WrenchResult:
    """`code` is one of wrench-fits, wrench-below, wrench-above, wrench-uncalibrated,
    wrench-due, wrench-cycles."""

    code: str
    fits: bool
    message: str
    hint: str


def wrench_fits(wrench: Wrench, setting_nm: float, today: str) -> WrenchResult:
    """
    Judge a wrench for a setting: its range first, then its calibration, date and cycles. S2, S3.

    Args:
        setting_nm: What is set on it: with an adaptor, the corrected value. N·m.
        today: YYYY-MM-DD. A wrench is good through the day it is due.

    Raises:
        ValueError: The setting is not finite.
    """
    if not math.isfinite(setting_nm):
        raise ValueError(f"setting_nm must be finite, got {setting_nm!r}")
    low_nm = wrench.high_nm * LOWEST_PART if wrench.low_nm is None else wrench.low_nm
    span = t(words.RANGE, low_nm=_shown(low_nm), high_nm=_shown(wrench.high_nm))
    if setting_nm < low_nm or setting_nm > wrench.high_nm:
        code = "wrench-below" if setting_nm < low_nm else "wrench-above"
        side = "below" if setting_nm < low_nm else "above"
        message = t(words.OUTSIDE_RANGE, setting_nm=_shown(setting_nm), side=side, span=span)
        return WrenchResult(code, False, message, t(words.OUTSIDE_RANGE_HINT))
    if wrench.calibration_due is None:
        message = t(words.WRENCH_UNCALIBRATED)
        return WrenchResult("wrench-uncalibrated", False, message, _HAVE_IT_CALIBRATED)
    if today > wrench.calibration_due:
        message = t(words.WRENCH_DUE, due=wrench.calibration_due)
        return WrenchResult("wrench-due", False, message, _HAVE_IT_CALIBRATED)
    if wrench.cycles >= CYCLES_PER_CALIBRATION:
        message = t(words.WRENCH_CYCLES, cycles=wrench.cycles)
        return WrenchResult("wrench-cycles", False, message, _HAVE_IT_CALIBRATED)
    message = t(words.WITHIN_RANGE, setting_nm=_shown(setting_nm), span=span)
    hint = t(words.WRENCH_FITS_HINT, due=wrench.calibration_due)
    return WrenchResult("wrench-fits", True, message, hint)


_HAVE_IT_CALIBRATED = t(words.HAVE_IT_CALIBRATED)


def _shown(nm: float) -> str:
    """One decimal at most, halves upward as the phone rounds them."""
    return f"{math.floor(nm * 10 + 0.5) / 10:.1f}".removesuffix(".0")
