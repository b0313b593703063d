"""
In which order the steps of the library's blocks are done, where the order of the blocks does not
tell: a block has steps at the job's beginning and at its end.

The order of a timing-belt job in the workshop, as the demos go. Common practice, no source: a maker
may ask for another.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

#: By their names as the blocks' files have them (`written.WrittenStep.name`).
ORDER: Final = (
    *("confirm_vehicle", "check_kit", "count_tools_out"),
    *(
        "secure_vehicle",
        "battery_off",
        "open_cap",
        "cool_down",
        "cool_down",
        "raise_vehicle",
        "raise_front",
    ),
    *("wheel_off", "drain_coolant", "aux_off", "mount_off", "damper_off", "covers_off"),
    *("turn_to_marks", "locks_in"),
    *(
        "photograph_as_found",
        "slacken",
        "loosen_wheel_bolts_and_nut",
        "belt_off",
        "pump_off",
        "rollers_off",
    ),
    *("pump_on", "stud_in", "idler_on", "tensioner_on"),
    *("belt_on", "set_pointer", "set_tension", "tighten_nut", "tighten_wheel_bolts"),
    *("locks_out", "two_turns", "locks_again", "prove_timing"),
    *("fill_coolant", "pressure_test", "covers_on", "mount_on", "damper_on", "aux_on", "wheel_on"),
    *("battery_on", "first_start", "run_warm", "road_test", "sticker_and_old_parts", "hand_over"),
)


def as_done(names: Sequence[str]) -> list[str]:
    """Return steps in the order of the work; those that it does not name keep their places."""
    in_order = iter(sorted((name for name in names if name in ORDER), key=ORDER.index))
    return [next(in_order) if name in ORDER else name for name in names]
