"""
The sheet a drive is drawn on: its scale in the box, and where its words and tags find room.

Words are placed by search: as near as possible to what they name, over no wheel, belt, mark or
other word. The same search as the phone's `client/src/parts/drive-sheet.ts`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

Point = tuple[float, float]

_MARGIN = 13
_LETTER = 12.4
_LINE = 20
_TAG_HEIGHT = 26
_STUD = 6000
_SWING = 16
DETAIL_FROM = 240
SHRINK = (1, 0.94, 0.88, 0.82, 0.76)
_ANGLES = [step * math.pi / 12 for step in range(24)]


@dataclass(frozen=True)
class State:
    """What the engine is like. A pin that may be in and may be out is None."""

    belt: str = "new"
    pins: Mapping[str, bool | None] = field(default_factory=dict)
    gone: Sequence[str] = ()


@dataclass(frozen=True)
class View:
    """The box in px, what to look at, what is stamped on tags, and what else to show."""

    width: float = 360
    height: float = 420
    align: str = "middle"
    look: Sequence[str] = ()
    tags: Mapping[str, str] = field(default_factory=dict)
    pluck: bool = False
    counts: bool = False
    leader_to: Point | None = None


class Circle(NamedTuple):
    x: float
    y: float
    r: float


class Box(NamedTuple):
    x: float
    y: float
    w: float
    h: float


def tag_of(hole: Mapping[str, Any], view: View) -> str:
    return view.tags.get(hole["pin"], hole["pin"].upper().replace("_", " "))


def r1(value: float) -> float:
    """One decimal, halves upward as JavaScript rounds them."""
    return math.floor(value * 10 + 0.5) / 10


def n1(value: float) -> str:
    return f"{r1(value):.1f}".removesuffix(".0")


class Sheet:
    """The drive at one scale inside the box: turns micrometres into px."""

    def __init__(self, drive: Mapping[str, Any], state: State, view: View, shrink: float) -> None:
        self.drive, self.state, self.view = drive, state, view
        self.wheels: list[Mapping[str, Any]] = list(drive["wheels"])
        self.belt: Mapping[str, Any] = drive["belt"]
        edges = [(w, w["r_um"] + (self.belt["back_um"] if w["inside"] else 0)) for w in self.wheels]
        edges += [(w["eccentric"], _STUD) for w in self.wheels if "eccentric" in w]
        left, right = (f(w["x_um"] + s * e for w, e in edges) for f, s in ((min, -1), (max, 1)))
        low, high = (f(w["y_um"] + s * e for w, e in edges) for f, s in ((min, -1), (max, 1)))
        width, height = view.width - 2 * _MARGIN, view.height - 2 * _MARGIN
        self.k: float = shrink * min(width / (right - left), height / (high - low))
        spare = width - self.k * (right - left)
        part = {"start": 0.0, "middle": 0.5, "end": 1.0}[view.align]
        self._ox = _MARGIN + spare * part - self.k * left
        self._oy = _MARGIN + (height - self.k * (high - low)) / 2 + self.k * high

    def at(self, x_um: float, y_um: float) -> Point:
        return self._ox + self.k * x_um, self._oy - self.k * y_um

    def middle(self, place: Mapping[str, Any]) -> Point:
        return self.at(place["x_um"], place["y_um"])

    def body(self, wheel: Mapping[str, Any]) -> float:
        """Radius of a wheel's own body: belts ride on teeth or on their back."""
        pitch, back = self.belt.get("pitch_um"), self.belt["back_um"]
        if not wheel["inside"]:
            return self.k * float(wheel["r_um"] - back)
        under = back if pitch is None else pitch * (0.325 if "teeth" in wheel else 0.44)
        return self.k * float(wheel["r_um"] - under)

    def ring(self, wheel: Mapping[str, Any]) -> float:
        return self.k * float(wheel["r_um"]) + 9

    def is_gone(self, wheel: Mapping[str, Any]) -> bool:
        return wheel["id"] in self.state.gone

    def is_looked(self, name: str) -> bool:
        return name in self.view.look

    def path(self, outward_um: float) -> str:
        """The belt's pitch line moved outward by so many micrometres."""
        parts = []
        for index, (arc, wheel) in enumerate(zip(self.drive["path"], self.wheels, strict=True)):
            move = outward_um if wheel["inside"] else -outward_um
            grown = 1 + move / wheel["r_um"]
            (x1, y1), (x2, y2) = (
                self.at(
                    wheel["x_um"] + (x - wheel["x_um"]) * grown,
                    wheel["y_um"] + (y - wheel["y_um"]) * grown,
                )
                for x, y in (arc["in"], arc["out"])
            )
            r = n1(self.k * wheel["r_um"] * grown)
            sweep = int((self.drive["running"] == "clockwise") == wheel["inside"])
            parts.append(
                f"{'L' if index else 'M'}{n1(x1)} {n1(y1)}"
                f"A{r} {r} 0 {int(arc['large'])} {sweep} {n1(x2)} {n1(y2)}"
            )
        return "".join(parts) + "Z"

    def span_points(self, start: str | None = None) -> list[Point]:
        """Points along the straight spans, 6 px apart at most: of all, or of one wheel's."""
        arcs = self.drive["path"]
        points = []
        for index, arc in enumerate(arcs):
            if start not in (None, arc["wheel"]):
                continue
            (x1, y1), (x2, y2) = self.at(*arc["out"]), self.at(*arcs[(index + 1) % len(arcs)]["in"])
            steps = max(1, math.ceil(math.hypot(x2 - x1, y2 - y1) / 6))
            points += [
                (x1 + (x2 - x1) * step / steps, y1 + (y2 - y1) * step / steps)
                for step in range(steps + 1)
            ]
        return points


def first_looked(sheet: Sheet) -> Circle | None:
    for name in sheet.view.look:
        for wheel in sheet.wheels:
            if wheel["id"] == name:
                return Circle(*sheet.middle(wheel), sheet.ring(wheel))
            if "hole" in wheel and wheel["hole"]["pin"] == name:
                return Circle(*sheet.middle(wheel["hole"]), 9)
    return None


class Floor:
    """What words must keep clear of."""

    def __init__(self, sheet: Sheet) -> None:
        self._view = sheet.view
        self.taken: list[Box] = []
        self._circles: list[Circle] = []
        for wheel in sheet.wheels:
            x, y = sheet.middle(wheel)
            spare = 0 if sheet.is_looked(wheel["id"]) else 5
            self._circles.append(Circle(x, y, sheet.ring(wheel) - spare))
            if "mark_mdeg" in wheel:
                out, angle = sheet.k * wheel["r_um"] + 7, math.radians(wheel["mark_mdeg"] / 1000)
                self._circles.append(
                    Circle(x + out * math.cos(angle), y - out * math.sin(angle), 6)
                )
        self._loop = sheet.span_points()
        if sheet.state.belt != "off":
            self._circles += [Circle(x, y, 6) for x, y in self._loop]
        if sheet.state.belt != "off" and sheet.view.pluck:
            plucked = sheet.span_points(sheet.drive["span"]["from"])
            self._circles += [Circle(x, y, _SWING) for x, y in plucked]
        start, end = first_looked(sheet), sheet.view.leader_to
        if start and end:
            steps = math.ceil(math.hypot(end[0] - start.x, end[1] - start.y) / 6)
            self._circles += [
                Circle(
                    start.x + (end[0] - start.x) * step / steps,
                    start.y + (end[1] - start.y) * step / steps,
                    5,
                )
                for step in range(steps + 1)
            ]

    def is_free(self, box: Box) -> bool:
        if box.x < 1 or box.y < 1:
            return False
        if box.x + box.w > self._view.width - 1 or box.y + box.h > self._view.height - 1:
            return False
        return all(
            box.x >= r.x + r.w + 3
            or r.x >= box.x + box.w + 3
            or box.y >= r.y + r.h + 3
            or r.y >= box.y + box.h + 3
            for r in self.taken
        ) and all(_distance(box, c.x, c.y) >= c.r for c in self._circles)

    def is_in_loop(self, x: float, y: float) -> bool:
        """Even-odd rule on the polygon of the spans."""
        inside = False
        for (xi, yi), (xj, yj) in zip(self._loop, [self._loop[-1], *self._loop], strict=False):
            if (yi > y) != (yj > y) and x < (xj - xi) * (y - yi) / (yj - yi) + xi:
                inside = not inside
        return inside

    def cheapest(self, candidates: Iterable[tuple[Box, float]]) -> Box | None:
        best: tuple[Box, float] | None = None
        for box, cost in candidates:
            if (best is None or cost < best[1] - 1e-6) and self.is_free(box):
                best = box, cost
        return best[0] if best else None


def _distance(box: Box, x: float, y: float) -> float:
    return math.hypot(max(box.x - x, 0, x - box.x - box.w), max(box.y - y, 0, y - box.y - box.h))


def _around(
    spot: Circle,
    size: tuple[float, float],
    gaps: Sequence[float],
    extra: Callable[[float, float, float], float],
) -> Iterable[tuple[Box, float]]:
    """Boxes of a size round a circle, with their costs."""
    w, h = size
    for angle in _ANGLES:
        dx, dy = math.cos(angle), math.sin(angle)
        for gap in gaps:
            reach = spot.r + gap + (abs(dx) * w + abs(dy) * h) / 2
            cx, cy = spot.x + dx * reach, spot.y + dy * reach
            yield Box(cx - w / 2, cy - h / 2, w, h), gap + extra(angle, cx, cy)


def place_tags(sheet: Sheet, floor: Floor) -> tuple[dict[str, Box], int]:
    """The tags' boxes by wheel, and how many found no place."""
    placed: dict[str, Box] = {}
    missed = 0
    for wheel in sheet.wheels:
        hole = wheel.get("hole")
        if not hole or sheet.is_gone(wheel):
            continue
        is_looked = sheet.is_looked(hole["pin"])
        is_in = sheet.state.pins.get(wheel["id"], False) is True
        if not is_looked and (not is_in or sheet.view.height < DETAIL_FROM):
            continue
        w, frame = len(tag_of(hole, sheet.view)) * _LETTER + 9, 10 if is_looked else 0
        outward = math.atan2(wheel["y_um"] - hole["y_um"], hole["x_um"] - wheel["x_um"])

        def cost(angle: float, cx: float, cy: float, outward: float = outward) -> float:
            return 14 * (1 - math.cos(angle - outward)) + (0 if floor.is_in_loop(cx, cy) else 25)

        spot, size = Circle(*sheet.middle(hole), 4), (w + frame, _TAG_HEIGHT + frame)
        box = floor.cheapest(_around(spot, size, (8, 13, 18, 24, 30, 38, 46), cost))
        if box is None:
            missed += 1
            continue
        floor.taken.append(box)
        placed[wheel["id"]] = Box(box.x + frame / 2, box.y + frame / 2, w, _TAG_HEIGHT)
    return placed, missed


class Word(NamedTuple):
    """A label in the box that was found for it."""

    wheel: str
    text: str
    box: Box


def place_words(sheet: Sheet, floor: Floor) -> tuple[list[Word], int]:
    """The labels with their boxes, and how many found no place."""
    words: list[Word] = []
    missed = 0
    counts = {count["to"]: count["teeth"] for count in sheet.drive["counts"]}
    for wheel in sheet.wheels:
        is_looked = sheet.is_looked(wheel["id"])
        if not is_looked and ("mark_mdeg" not in wheel or sheet.view.height < DETAIL_FROM):
            continue
        text = wheel["label"]
        if sheet.view.counts and wheel["id"] in counts:
            text = f"{text} {counts[wheel['id']]}"
        spot = Circle(*sheet.middle(wheel), sheet.ring(wheel) - (0 if is_looked else 5))
        box = floor.cheapest(
            _around(
                spot,
                (len(text) * _LETTER, _LINE),
                (2, 6, 12, 20, 30, 42),
                lambda _, cx, cy: 30 if floor.is_in_loop(cx, cy) else 0,
            )
        )
        if box is None:
            missed += 1
            continue
        floor.taken.append(box)
        words.append(Word(wheel["id"], text, box))
    return words, missed
