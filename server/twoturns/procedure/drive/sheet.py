"""
The sheet a drive is drawn on: what it is like now, what to show, and its scale in the box.

The same as the phone's `client/src/parts/drive-sheet.ts`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from twoturns.procedure import shape
from twoturns.procedure.drive.sides import is_arm, slack_spans, tensioner_of

Point = tuple[float, float]

_MARGIN = 13
_STUD = 6000
_RING = 9
_RINGS_APART = 6
BADGE = 11.5
SMALL_PIN = 4.8
DETAIL_FROM = 240
SHRINK = (1, 0.94, 0.88, 0.82, 0.76)
LOUPES = (64, 56, 48, 42)
SIDES = ("slack", "tight")


@dataclass(frozen=True)
class State:
    """What the engine is like. A pin that may be in and may be out is None."""

    belt: str = "new"
    pins: Mapping[str, bool | None] = field(default_factory=dict)
    gone: Sequence[str] = ()


@dataclass(frozen=True)
class View:
    """
    The box in px, what to look at, what is stamped on tags, and what else to show.

    `pluck`: the span to pluck. `fitting`: how the belt goes on, in which order, where it must be
    tight, and the teeth to each mark. `loupe`: the tensioner's pointer and notch, large.
    """

    width: float = 360
    height: float = 420
    look: Sequence[str] = ()
    tags: Mapping[str, str] = field(default_factory=dict)
    pluck: bool = False
    fitting: bool = False
    loupe: bool = False


class Circle(NamedTuple):
    x: float
    y: float
    r: float


class Box(NamedTuple):
    x: float
    y: float
    w: float
    h: float


def tag_of(hole: shape.Hole, view: View) -> str:
    """Return the tag of a pin's hole: as the kit has it, else its name in capitals."""
    return view.tags.get(hole["pin"], hole["pin"].upper().replace("_", " "))


def r1(value: float) -> float:
    """One decimal, halves upward as JavaScript rounds them."""
    return math.floor(value * 10 + 0.5) / 10


def n1(value: float) -> str:
    """Return a number as it is written into a drawing: one decimal, no zero at its end."""
    return f"{r1(value):.1f}".removesuffix(".0")


class Sheet:
    """
    The drive at one scale inside the box: turns micrometres into px.

    `aside`: which part of the room that is left over lies to the left of it.
    """

    def __init__(
        self, drive: shape.Drive, state: State, view: View, shrink: float, aside: float = 0.5
    ) -> None:
        self.drive, self.state, self.view = drive, state, view
        self.wheels: list[shape.DriveWheel] = list(drive["wheels"])
        self.belt: shape.DriveBelt = drive["belt"]
        back = self.belt["back_um"]
        edges = [
            (w["x_um"], w["y_um"], w["r_um"] + (back if w["inside"] else 0)) for w in self.wheels
        ]
        edges += [
            (w["eccentric"]["x_um"], w["eccentric"]["y_um"], _STUD)
            for w in self.wheels
            if "eccentric" in w
        ]
        left, right = (f(x + s * e for x, _, e in edges) for f, s in ((min, -1), (max, 1)))
        low, high = (f(y + s * e for _, y, e in edges) for f, s in ((min, -1), (max, 1)))
        width, height = view.width - 2 * _MARGIN, view.height - 2 * _MARGIN
        self.k: float = shrink * min(width / (right - left), height / (high - low))
        spare = width - self.k * (right - left)
        self._ox = _MARGIN + spare * aside - self.k * left
        self._oy = _MARGIN + (height - self.k * (high - low)) / 2 + self.k * high

    def at(self, x_um: float, y_um: float) -> Point:
        """Return where a place of the drive, um, stands on the sheet, px; y points down there."""
        return self._ox + self.k * x_um, self._oy - self.k * y_um

    def middle(self, place: Mapping[str, Any]) -> Point:
        """Return where the middle of a wheel or a hole stands on the sheet, px."""
        return self.at(place["x_um"], place["y_um"])

    def body(self, wheel: shape.DriveWheel) -> float:
        """Radius of a wheel's own body: belts ride on teeth or on their back."""
        pitch, back = self.belt.get("pitch_um"), self.belt["back_um"]
        if not wheel["inside"]:
            return self.k * float(wheel["r_um"] - back)
        under = back if pitch is None else pitch * (0.325 if "teeth" in wheel else 0.44)
        return self.k * float(wheel["r_um"] - under)

    @property
    def tensioner(self) -> shape.DriveWheel:
        """The wheel that tensions the belt."""
        return self.wheels[tensioner_of(self.drive)]

    @property
    def has_loupe(self) -> bool:
        """An arm has no pointer, and a tensioner that is off none that could be set."""
        return self.view.loupe and not is_arm(self.tensioner) and not self.is_gone(self.tensioner)

    @property
    def is_small(self) -> bool:
        """Words would hide the drive."""
        return self.view.height < DETAIL_FROM

    @property
    def has_pins(self) -> bool:
        """Where the belt goes on they are in; in a small drawing the numbers have their place."""
        return not (self.view.fitting and self.is_small)

    @property
    def has_belt(self) -> bool:
        """Whether its line is drawn: where it goes on, also before it is on."""
        return self.state.belt != "off" or self.view.fitting

    @property
    def has_rings(self) -> bool:
        """Where every wheel is to be looked at, rings would say nothing."""
        return not self.view.fitting and not all(self.is_looked(w["id"]) for w in self.wheels)

    def ring(self, wheel: shape.DriveWheel) -> float:
        """Radius of the ring round a wheel to look at: rings of neighbours do not touch."""
        x, y = self.middle(wheel)
        r = self.k * float(wheel["r_um"])
        gap: float = _RING
        for other in self.wheels:
            if other is wheel or not self.is_looked(other["id"]):
                continue
            ox, oy = self.middle(other)
            between = math.hypot(ox - x, oy - y) - r - self.k * other["r_um"]
            gap = min(gap, (between - _RINGS_APART) / 2)
        return r + max(0.0, gap)

    def edge(self, wheel: shape.DriveWheel) -> float:
        """What of a wheel is drawn round its middle: its ring, else the belt on it."""
        if self.has_rings and self.is_looked(wheel["id"]):
            return self.ring(wheel)
        return self.k * float(wheel["r_um"]) + 4

    def is_gone(self, wheel: shape.DriveWheel) -> bool:
        """Say whether a wheel is off the engine in this state."""
        return wheel["id"] in self.state.gone

    def is_looked(self, name: str) -> bool:
        """Say whether the eye is led to that part."""
        return name in self.view.look

    def _arc(self, index: int, outward_um: float) -> tuple[str, str, str]:
        """Where the belt, moved outward, comes to a wheel; the arc from there; where it leaves."""
        arc, wheel = self.drive["path"][index], self.wheels[index]
        grown = 1 + (outward_um if wheel["inside"] else -outward_um) / wheel["r_um"]
        (x1, y1), (x2, y2) = (
            self.at(
                wheel["x_um"] + (x - wheel["x_um"]) * grown,
                wheel["y_um"] + (y - wheel["y_um"]) * grown,
            )
            for x, y in (arc["in"], arc["out"])
        )
        r = n1(self.k * wheel["r_um"] * grown)
        sweep = int((self.drive["running"] == "clockwise") == wheel["inside"])
        start, end = f"{n1(x1)} {n1(y1)}", f"{n1(x2)} {n1(y2)}"
        return start, f"A{r} {r} 0 {int(arc['large'])} {sweep} {end}", end

    def path(self, outward_um: float) -> str:
        """The belt's pitch line moved outward by so many micrometres."""
        arcs = [self._arc(index, outward_um) for index in range(len(self.wheels))]
        return "M" + "L".join(start + arc for start, arc, _ in arcs) + "Z"

    def sides(self, outward_um: float) -> tuple[str, str]:
        """The same line in two: the slack side, and the tight side with the arcs at its ends."""
        count, end = len(self.wheels), slack_spans(self.drive)
        arcs = [self._arc(index % count, outward_um) for index in range(count + 1)]
        over = "".join(f"L{start}{arc}" for start, arc, _ in arcs[1:end])
        slack = f"M{arcs[0][2]}{over}L{arcs[end][0]}"
        return slack, "M" + "L".join(start + arc for start, arc, _ in arcs[end:])

    def side_spans(self) -> dict[str, list[tuple[Point, Point]]]:
        """Where the spans of the slack and of the tight side begin and end, the longest first."""
        arcs, end = self.drive["path"], slack_spans(self.drive)
        spans = [
            (self.at(*arc["out"]), self.at(*after["in"]))
            for arc, after in zip(arcs, [*arcs[1:], arcs[0]], strict=True)
        ]
        sides = dict(zip(SIDES, (spans[:end], spans[end:]), strict=True))
        return {
            side: sorted(spans, key=lambda ends: -math.dist(*ends))
            for side, spans in sides.items()
            if spans
        }

    def span_points(self, start: str | None = None) -> list[Point]:
        """Points along the straight spans, 6 px apart at most: of all, or of one wheel's."""
        arcs = self.drive["path"]
        return [
            point
            for index, arc in enumerate(arcs)
            if start in (None, arc["wheel"])
            for point in points_between(
                self.at(*arc["out"]), self.at(*arcs[(index + 1) % len(arcs)]["in"])
            )
        ]


def between(start: Point, end: Point) -> Point:
    """Return the middle of two points."""
    return (start[0] + end[0]) / 2, (start[1] + end[1]) / 2


def points_between(start: Point, end: Point) -> list[Point]:
    """Points on a line, 6 px apart at most."""
    (x1, y1), (x2, y2) = start, end
    steps = max(1, math.ceil(math.hypot(x2 - x1, y2 - y1) / 6))
    return [
        (x1 + (x2 - x1) * step / steps, y1 + (y2 - y1) * step / steps) for step in range(steps + 1)
    ]
