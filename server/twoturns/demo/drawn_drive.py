"""The drive in the demo's photos, out of the bundle's own geometry."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from twoturns.demo.canvas import (
    CHALK,
    DARK,
    HEIGHT,
    PAINT,
    RUBBER,
    STEEL,
    WIDTH,
    Canvas,
    Colour,
    Point,
    shade,
)
from twoturns.demo.scripted_measures import WHEEL_SHARE

_BELT_UM: Final = 5_000
_PIN_UM: Final = 4_500
_PIN: Colour = (212, 176, 60)


@dataclass(frozen=True)
class View:
    """Where the camera stands: the middle of the picture in um, and how large a um is."""

    x_um: float
    y_um: float
    px_per_um: float

    def at(self, x_um: float, y_um: float) -> Point:
        x = WIDTH / 2 + (x_um - self.x_um) * self.px_per_um
        return x, HEIGHT / 2 - (y_um - self.y_um) * self.px_per_um


def view_of(wheels: Sequence[Mapping[str, Any]], share: float = WHEEL_SHARE) -> View:
    """Return the view that these wheels fill, up to a share of the shorter side from its middle."""
    left = min(one["x_um"] - one["r_um"] for one in wheels)
    right = max(one["x_um"] + one["r_um"] for one in wheels)
    low = min(one["y_um"] - one["r_um"] for one in wheels)
    high = max(one["y_um"] + one["r_um"] for one in wheels)
    px_per_um = 2 * share * min(WIDTH / (right - left), HEIGHT / (high - low))
    return View((left + right) / 2, (low + high) / 2, px_per_um)


def drive(canvas: Canvas, solved: Mapping[str, Any], view: View, pins: Mapping[str, str]) -> None:
    """
    Draw a bundle's drive: wheels with their teeth and marks, the belt, pins in their holes.

    `pins` has what is written on the tag of each pin that is in.
    """
    canvas.front_of_block()
    thick = max(6.0, _BELT_UM * view.px_per_um)
    path = solved["path"]
    for here, there in zip(path, [*path[1:], path[0]], strict=True):
        span = [view.at(*here["out"]), view.at(*there["in"])]
        canvas.line(span, RUBBER, thick)
        canvas.line(span, (96, 98, 96), thick / 6)
    for wheel in solved["wheels"]:
        _wheel(canvas, wheel, view, thick)
    for wheel in solved["wheels"]:
        hole = wheel.get("hole")
        if hole and hole["pin"] in pins:
            _pin(canvas, view.at(hole["x_um"], hole["y_um"]), view, pins[hole["pin"]])


def _wheel(canvas: Canvas, wheel: Mapping[str, Any], view: View, thick: float) -> None:
    middle = view.at(wheel["x_um"], wheel["y_um"])
    radius = wheel["r_um"] * view.px_per_um
    canvas.disc(middle, radius + thick / 2, RUBBER)
    canvas.disc(middle, radius, STEEL)
    for n in range(wheel.get("teeth") or 0):
        _spoke(canvas, middle, 360 * n / wheel["teeth"], (0.94 * radius, radius), DARK, thick / 4)
    canvas.ring(middle, radius * 0.8, max(2, radius * 0.04), shade(STEEL, 1.25))
    canvas.disc(middle, radius / 4, DARK)
    canvas.bolt(middle, radius / 7)
    if "mark_mdeg" in wheel:
        mark = (0.7 * radius, radius)
        _spoke(canvas, middle, wheel["mark_mdeg"] / 1000, mark, PAINT, max(3, thick / 3))


def _spoke(
    canvas: Canvas, middle: Point, deg: float, along: Point, fill: Colour, thick: float
) -> None:
    turn, (x, y) = math.radians(deg), middle
    ends = [(x + r * math.cos(turn), y - r * math.sin(turn)) for r in along]
    canvas.line(ends, fill, thick)


def _pin(canvas: Canvas, at: Point, view: View, tag: str) -> None:
    x, y = at
    radius = max(9, _PIN_UM * view.px_per_um)
    canvas.disc((x, y), radius, _PIN)
    canvas.line([(x - radius, y), (x + radius, y)], DARK, 3)
    canvas.line([(x, y - radius), (x, y + radius)], DARK, 3)
    # The tags hang outside the drive, each on its own side.
    wide, side = 30 + 15 * len(tag), 1 if x > WIDTH / 2 else -1
    middle = WIDTH / 2 + side * (230 + wide / 2)
    canvas.line([(x + side * radius, y), (middle, y)], CHALK, 3)
    canvas.box((middle - wide / 2, y - 24, middle + wide / 2, y + 24), CHALK, rounded=4)
    canvas.words((middle, y), tag, 30, DARK, "mm")
