"""
The words that a procedure shares with the phone: what it can draw, and what it can measure with.

A word outside these lists would compile and then do harm quietly: a sign that is not drawn, a tool
that nobody can register, so that the phone stands at its step for ever. The phone's lists are
`parts/signs.tsx`, `parts/drawings.tsx`, `parts/board.tsx` and `screens/desk/drafts.ts`;
`tests/vectors/vocabulary.json` holds both sides to one another.
"""

from __future__ import annotations

from typing import Final

SIGNS: Final = (
    "warning",
    "hot",
    "electricity",
    "crushing",
    "pinch",
    "pressure",
    "no_turning",
    "no_force",
    "gloves",
    "clockwise",
    "anticlockwise",
)

#: Of what a step is about, where the drive shows nothing of it.
DRAWINGS: Final = (
    "papers",
    "kit",
    "tools",
    "chocks",
    "battery",
    "cap",
    "temperature",
    "lift",
    "stands",
    "wheel",
    "look",
    "drain",
    "coolant",
    "ribbed_belt",
    "belt",
    "mount",
    "covers",
    "damper",
    "pressure",
    "listen",
    "codes",
    "road",
    "sticker",
    "key",
    "cylinder",
    "spark_plug",
    "telephone",
    "cones",
    "high_voltage",
    "meter",
    "bag",
    "tag",
)

OUTLINES: Final = (
    "torque_wrench",
    "counter_hold",
    "hex_key",
    "pin",
    "bar",
    "flywheel_lock",
    "angle_gauge",
    "tester",
    "spanner",
    "damper_holder",
)

#: The types of tool that an owner can register, and the unit that each reads in.
TOOL_UNITS: Final = {
    "torque_wrench": "N·m",
    "angle_gauge": "°",
    "caliper": "mm",
    "feeler": "mm",
    "thermometer": "°C",
    "refractometer": "°C",
    "pressure_tester": "bar",
    "voltmeter": "V",
}

#: What a wait is counted in: the phone counts minutes and nothing else.
WAIT_UNIT: Final = "min"

#: What a reading may be read in: units of the trade and of the SI, no two spellings of one.
READING_UNITS: Final = tuple(
    sorted(
        {
            *TOOL_UNITS.values(),
            *("Hz", "turns", "teeth", "kPa", "A", "Ω", "L", "mL", "kg", "g", "m", "km", "µm"),
            *("1/min", "min", "s", "%", "people"),
        }
    )
)
