"""
What a solved DRIVE says of itself: which spans are slack, and which way its tensioner tightens.

A belt is pulled into the driving wheel and leaves it slack; each wheel that it drives pulls it
taut again (common practice, no source). The same rules as the phone's
`client/src/parts/drive-sides.ts`.
"""

from __future__ import annotations

import math

from twoturns.procedure import shape


def tensioner_of(drive: shape.Drive) -> int:
    """Where in belt order the tensioner stands: a drive block has one (`solve.py`)."""
    return next(i for i, wheel in enumerate(drive["wheels"]) if "eccentric" in wheel)


def slack_spans(drive: shape.Drive) -> int:
    """
    How many spans are slack, from the driving wheel on, the way the belt runs.

    The slack side leads over the tensioner to the next wheel inside the loop, which the belt
    drives. All other spans are pulled.
    """
    wheels = drive["wheels"]
    after = range(tensioner_of(drive) + 1, len(wheels))
    return next((index for index in after if wheels[index]["inside"]), len(wheels))


def tensions_slack_side(drive: shape.Drive) -> bool:
    """Whether the tensioner takes up the slack: no timed wheel, nor the tight side, before it."""
    before = drive["wheels"][1 : tensioner_of(drive)]
    is_on_time = not any("mark_mdeg" in wheel for wheel in before)
    return is_on_time and slack_spans(drive) < len(drive["wheels"])


def slope_mm_per_deg(drive: shape.Drive) -> float:
    """
    How much longer the path grows when the tensioner turns a degree anticlockwise.

    Above zero: anticlockwise tightens. A roller that moves lengthens the two spans beside it by
    its way along them; the arcs change in the second order only.
    """
    at, path = tensioner_of(drive), drive["path"]
    wheel = drive["wheels"][at]
    stud = wheel["eccentric"]
    arriving = _direction(path[at - 1]["out"], path[at]["in"])
    leaving = _direction(path[at]["out"], path[(at + 1) % len(path)]["in"])
    dx, dy = wheel["x_um"] - stud["x_um"], wheel["y_um"] - stud["y_um"]
    um_per_radian = (arriving[0] - leaving[0]) * -dy + (arriving[1] - leaving[1]) * dx
    return math.radians(um_per_radian / 1000)


def tightens(drive: shape.Drive) -> str:
    """Which way the tensioner is turned to tighten the belt."""
    return "anticlockwise" if slope_mm_per_deg(drive) > 0 else "clockwise"


def is_arm(wheel: shape.DriveWheel) -> bool:
    """Whether a tensioner swings on an arm: its stud stands outside its roller."""
    stud = wheel["eccentric"]
    apart = math.hypot(wheel["x_um"] - stud["x_um"], wheel["y_um"] - stud["y_um"])
    return apart > float(wheel["r_um"])


def _direction(start: list[int], end: list[int]) -> tuple[float, float]:
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    return dx / length, dy / length
