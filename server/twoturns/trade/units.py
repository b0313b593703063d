"""
Units of the trade, one to another: torque, force, length, pressure, volume, temperature. The gallon
is the US one.

Sources: S1, NIST Special Publication 811, appendix B (factors that are exact by definition: the
international inch and pound, standard gravity). S2, NIST Handbook 44, appendix C: the US gallon is
231 cubic inches, the mile 63,360 inches. Every factor is tried against Pint, which has its own.
"""

from __future__ import annotations

import math
from typing import Final

_INCH_M: Final = 0.0254  # exact, S1
_COLDEST_C: Final = -273.15  # exact, S1, B.9: 0 K
_POUND_KG: Final = 0.45359237  # exact, S1
_GRAVITY: Final = 9.80665  # exact, S1: standard gravity, m/s²
_POUND_FORCE_N: Final = _POUND_KG * _GRAVITY

# Each unit: what it measures, and how much of the first unit of that kind it is. S1, S2; the rest
# are powers of ten.
UNITS: Final[dict[str, tuple[str, float]]] = {
    "N·m": ("torque", 1.0),
    "N·cm": ("torque", 0.01),
    "kgf·m": ("torque", _GRAVITY),
    "kgf·cm": ("torque", _GRAVITY / 100),
    "lbf·ft": ("torque", _POUND_FORCE_N * 12 * _INCH_M),
    "lbf·in": ("torque", _POUND_FORCE_N * _INCH_M),
    "N": ("force", 1.0),
    "kN": ("force", 1000.0),
    "kgf": ("force", _GRAVITY),
    "lbf": ("force", _POUND_FORCE_N),
    "mm": ("length", 1.0),
    "cm": ("length", 10.0),
    "m": ("length", 1000.0),
    "in": ("length", _INCH_M * 1000),
    "km": ("length", 1_000_000.0),
    "mi": ("length", 63_360 * _INCH_M * 1000),
    "bar": ("pressure", 1.0),
    "kPa": ("pressure", 0.01),
    "MPa": ("pressure", 10.0),
    "psi": ("pressure", _POUND_FORCE_N / _INCH_M**2 / 100_000),
    "L": ("volume", 1.0),
    "gal": ("volume", 231 * _INCH_M**3 * 1000),
    "°C": ("temperature", 1.0),
    "°F": ("temperature", 5 / 9),
}
# What can be typed without the right keys.
_SPELLINGS: Final = {"C": "°C", "F": "°F", "l": "L"}
# What people call them all the same, without marks between.
_OTHER_NAMES: Final = {"ftlb": "lbf·ft", "lbft": "lbf·ft", "inlb": "lbf·in", "lbin": "lbf·in"}


def unit_named(text: str) -> str:
    """
    Return a unit as it is written here. `Nm` and `lbf.ft` are taken for `N·m` and `lbf·ft`.

    Raises:
        ValueError: No unit of that name is known; the message names those that are.

    >>> unit_named("Nm"), unit_named("lbf-ft")
    ('N·m', 'lbf·ft')
    """
    tidy = text.strip()
    known = {unit.replace("·", "").lower(): unit for unit in UNITS}
    plain = "".join(letter for letter in tidy if letter not in "·.-* ").lower()
    other = known.get(plain) or _OTHER_NAMES.get(plain) or _OTHER_NAMES.get(plain.removesuffix("s"))
    unit = tidy if tidy in UNITS else _SPELLINGS.get(tidy) or other
    if unit is None:
        raise ValueError(f"{text!r} is no unit known here: {', '.join(UNITS)}")
    return unit


def convert(value: float, unit: str, into: str) -> float:
    """
    Return a value in another unit of the same kind. S1.

    Raises:
        ValueError: The value is not finite, a unit is unknown, or the two measure other things.

    >>> round(convert(1, "lbf·ft", "N·m"), 6)
    1.355818
    >>> convert(-40, "°F", "°C")
    -40.0
    """
    if not math.isfinite(value):
        raise ValueError(f"the value must be finite, got {value!r}")
    unit, into = unit_named(unit), unit_named(into)
    (kind, size), (other_kind, other_size) = UNITS[unit], UNITS[into]
    if kind != other_kind:
        raise ValueError(f"{unit} measures {kind}, {into} measures {other_kind}")
    # Only temperatures have two zeros.
    zero, other_zero = (32.0 if each == "°F" else 0.0 for each in (unit, into))
    if kind == "temperature" and (value - zero) * size < _COLDEST_C:
        raise ValueError(f"nothing is as cold as {value:g} {unit}: {_COLDEST_C} °C is the least")
    return (value - zero) * size / other_size + other_zero
