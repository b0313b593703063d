"""Units against the figures of NIST SP 811 and against Pint, a general library of units."""

import itertools
import random

import pint
import pytest

from twoturns.trade.units import UNITS, convert, unit_named

# NIST Special Publication 811, appendix B.8: factors to SI, to as many digits as are printed there.
PRINTED = [
    (1, "lbf·ft", "N·m", 1.355818, 5e-7),
    (1, "lbf·in", "N·m", 0.1129848, 5e-8),
    (1, "kgf·m", "N·m", 9.80665, 0),
    (1, "lbf", "N", 4.448222, 5e-7),
    (1, "in", "mm", 25.4, 0),
    (1, "mi", "km", 1.609344, 0),
    (1, "psi", "kPa", 6.894757, 5e-7),
    (1, "gal", "L", 3.785412, 5e-7),
    (32, "°F", "°C", 0, 0),
]
IN_PINT = {
    "N·m": "N*m",
    "N·cm": "N*cm",
    "kgf·m": "kgf*m",
    "kgf·cm": "kgf*cm",
    "lbf·ft": "lbf*ft",
    "lbf·in": "lbf*inch",
    "in": "inch",
    "mi": "mile",
    "gal": "gallon",
    "L": "liter",
    "°C": "degC",
    "°F": "degF",
}


@pytest.mark.parametrize(("value", "unit", "into", "printed", "within"), PRINTED)
def test_a_factor_is_the_printed_one(value, unit, into, printed, within):
    assert convert(value, unit, into) == pytest.approx(printed, abs=within + 1e-12)


def test_every_pair_of_units_agrees_with_pint():
    registry, rng = pint.UnitRegistry(), random.Random(3)
    for one, other in itertools.permutations(UNITS, 2):
        if UNITS[one][0] != UNITS[other][0]:
            continue
        value = rng.uniform(-50, 500)
        theirs = registry.Quantity(value, IN_PINT.get(one, one)).to(IN_PINT.get(other, other))
        assert convert(value, one, other) == pytest.approx(theirs.magnitude, rel=1e-12, abs=1e-9)


@pytest.mark.parametrize("typed", ["Nm", "N.m", "n-m", " N·m "])
def test_a_unit_is_known_as_people_type_it(typed):
    assert unit_named(typed) == "N·m"


def test_what_cannot_be_converted_says_why():
    with pytest.raises(ValueError, match="measures torque, bar measures pressure"):
        convert(1, "N·m", "bar")
    with pytest.raises(ValueError, match="no unit known here: N·m, "):
        convert(1, "stone", "N·m")
    with pytest.raises(ValueError, match="finite"):
        convert(float("nan"), "N·m", "lbf·ft")
