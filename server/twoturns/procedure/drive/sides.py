"""
Which spans of a solved DRIVE are slack.

A belt is pulled into the driving wheel and leaves it slack; each wheel that it drives pulls it
taut again (common practice, no source). The same rule as the phone's
`client/src/parts/drive-sides.ts`, which draws by it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

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


def tightens(drive: shape.Drive) -> str:
    """
    Which way the tensioner is turned to tighten the belt: the way that lengthens the path.

    A roller that moves lengthens the two spans beside it by its way along them; the arcs change in
    the second order only.
    """
    at, path = tensioner_of(drive), drive["path"]
    wheel = drive["wheels"][at]
    assert "eccentric" in wheel  # noqa: S101 - what makes it the tensioner
    arriving = _direction(path[at - 1]["out"], path[at]["in"])
    leaving = _direction(path[at]["out"], path[(at + 1) % len(path)]["in"])
    dx, dy = wheel["x_um"] - wheel["eccentric"]["x_um"], wheel["y_um"] - wheel["eccentric"]["y_um"]
    grows = (arriving[0] - leaving[0]) * -dy + (arriving[1] - leaving[1]) * dx
    return "anticlockwise" if grows > 0 else "clockwise"


def _direction(start: Sequence[int], end: Sequence[int]) -> tuple[float, float]:
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    return dx / length, dy / length


def tensions_slack_side(drive: shape.Drive) -> bool:
    """Whether the tensioner takes up the slack: no timed wheel, nor the tight side, before it."""
    before = drive["wheels"][1 : tensioner_of(drive)]
    is_on_time = not any("mark_mdeg" in wheel for wheel in before)
    return is_on_time and slack_spans(drive) < len(drive["wheels"])
