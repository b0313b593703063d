"""
Where words, tags, numbers and the loupe find room: over no wheel, belt, mark or other word.

Each is placed by search, as near as possible to what it names. The same search as the phone's
`client/src/parts/drive-places.ts`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from twoturns.procedure import shape
from twoturns.procedure.drive.sheet import (
    BADGE,
    SIDES,
    SMALL_PIN,
    Box,
    Circle,
    Point,
    Sheet,
    between,
    points_between,
    tag_of,
)

_LETTER = 12.4
_LOWER = 9.5
_LEADER = 12
_LINE = 20
_TAG_HEIGHT = 26
_SWING = 16
LOUPE_WORD = "TIGHTER"
_ANGLES = [step * math.pi / 12 for step in range(24)]


class Floor:
    """What words must keep clear of."""

    def __init__(self, sheet: Sheet) -> None:
        self._view = sheet.view
        self.taken: list[Box] = []
        self._circles: list[Circle] = []
        for wheel in sheet.wheels:
            x, y = sheet.middle(wheel)
            self._circles.append(Circle(x, y, sheet.edge(wheel)))
            if "mark_mdeg" in wheel:
                out, angle = sheet.k * wheel["r_um"] + 7, math.radians(wheel["mark_mdeg"] / 1000)
                self._circles.append(
                    Circle(x + out * math.cos(angle), y - out * math.sin(angle), 6)
                )
        self._loop = sheet.span_points()
        if sheet.has_belt:
            self._circles += [Circle(x, y, 6) for x, y in self._loop]
        if sheet.view.fitting:
            self._circles += [
                Circle(*between(*spans[0]), 11) for spans in sheet.side_spans().values()
            ]
        if sheet.state.belt != "off" and sheet.view.pluck:
            plucked = sheet.span_points(sheet.drive["span"]["from"])
            self._circles += [Circle(x, y, _SWING) for x, y in plucked]

    def keep(self, *circles: Circle) -> None:
        """Keep circles, px, free of every word that is placed from now on."""
        self._circles += circles

    def is_free(self, box: Box) -> bool:
        """Say whether a box, px, lies inside the view and over nothing that is kept."""
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

    def is_free_circle(self, circle: Circle) -> bool:
        """Whether a circle lies inside the box, away from all circles and words."""
        x, y, r = circle
        if min(x, y, self._view.width - x, self._view.height - y) < r + 1:
            return False
        return all(_distance(box, x, y) >= r + 3 for box in self.taken) and all(
            math.hypot(x - c.x, y - c.y) >= r + c.r for c in self._circles
        )

    def is_in_loop(self, x: float, y: float) -> bool:
        """Even-odd rule on the polygon of the spans."""
        inside = False
        for (xi, yi), (xj, yj) in zip(self._loop, [self._loop[-1], *self._loop], strict=False):
            if (yi > y) != (yj > y) and x < (xj - xi) * (y - yi) / (yj - yi) + xi:
                inside = not inside
        return inside

    def cheapest(self, candidates: Iterable[tuple[Box, float]]) -> Box | None:
        """Return the free box of the least cost; None where none is free."""
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
    stamped: set[str] = set()
    missed = 0
    for wheel in sheet.wheels:
        hole = wheel.get("hole")
        if not hole or sheet.is_gone(wheel) or sheet.view.fitting:
            continue
        is_looked = sheet.is_looked(hole["pin"])
        is_in = sheet.state.pins.get(wheel["id"], False) is True
        is_wanted = is_looked or (is_in and not sheet.is_small)
        if not is_wanted or hole["pin"] in stamped:  # one bar may lie in two wheels
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
        stamped.add(hole["pin"])
        placed[wheel["id"]] = Box(box.x + frame / 2, box.y + frame / 2, w, _TAG_HEIGHT)
    return placed, missed


class Word(NamedTuple):
    """A label in the box that was found for it; a side of the belt has no wheel."""

    wheel: str
    text: str
    box: Box


def place_words(sheet: Sheet, floor: Floor) -> tuple[list[Word], int]:
    """The labels with their boxes, and how many found no place."""
    words: list[Word] = []
    missed = 0
    counts = {count["to"]: count["teeth"] for count in sheet.drive["counts"]}
    for wheel in sheet.wheels:
        is_counted = sheet.view.fitting and wheel["id"] in counts
        is_timed = is_counted or ("mark_mdeg" in wheel and not sheet.is_small)
        if not is_timed and not _is_named(sheet, wheel):
            continue
        text = f"{wheel['label']} {counts[wheel['id']]}" if is_counted else wheel["label"]
        box = floor.cheapest(
            (box, cost)
            for box, cost in _around(
                Circle(*sheet.middle(wheel), sheet.edge(wheel)),
                (len(text) * _LETTER, _LINE),
                # Far from its wheel, or inside the loop, it would be read as another number's name.
                (2, 6, 12) if sheet.view.fitting else (2, 6, 12, 20, 30, 42),
                lambda _, cx, cy: 30 if floor.is_in_loop(cx, cy) else 0,
            )
            if _is_nearest(sheet, wheel, box)
            and not (sheet.view.fitting and floor.is_in_loop(*_middle_of(box)))
        )
        if box:
            floor.taken.append(box)
            words.append(Word(wheel["id"], text, box))
        missed += box is None and (is_timed or not sheet.view.fitting)
    return words, missed


def _is_named(sheet: Sheet, wheel: shape.DriveWheel) -> bool:
    """Whether it is looked at, and by nothing else told from the others."""
    if sheet.view.fitting and sheet.is_small:
        return False
    has_loupe = sheet.has_loupe and wheel is sheet.tensioner
    return sheet.is_looked(wheel["id"]) and not has_loupe


def _middle_of(box: Box) -> Point:
    return box.x + box.w / 2, box.y + box.h / 2


def _is_nearest(sheet: Sheet, wheel: shape.DriveWheel, box: Box) -> bool:
    """Whether no other wheel is nearer to a name: it would be read as that one's."""

    def far(one: shape.DriveWheel) -> float:
        return _distance(box, *sheet.middle(one)) - sheet.k * float(one["r_um"])

    own = far(wheel)
    return all(one is wheel or far(one) >= own + 2 for one in sheet.wheels)


def place_sides(sheet: Sheet, floor: Floor) -> tuple[list[Word], int]:
    """Where it is said which side is slack, and which tight: close by one of its spans."""
    words: list[Word] = []
    for side, spans in sheet.side_spans().items():
        found = floor.cheapest(
            (box, cost + 4 * number)
            for number, ends in enumerate(spans)
            for box, cost in _around(
                Circle(*between(*ends), 11),
                (len(side) * _LOWER + 4, _LINE),
                (1, 4, 8, 12),
                lambda _, cx, cy: 6 if floor.is_in_loop(cx, cy) else 0,
            )
        )
        if found:
            floor.taken.append(found)
            words.append(Word("", side, found))
    return words, len(SIDES) - len(words)


def place_numbers(sheet: Sheet, floor: Floor) -> tuple[dict[str, Point], int]:
    """Where each wheel's number in the fitting order stands: on it, or for want of room by it."""
    placed: dict[str, Point] = {}
    missed = 0
    wheels = {wheel["id"]: wheel for wheel in sheet.wheels}
    for name in sheet.drive["order"]:
        spot = _on_wheel(sheet, wheels[name])
        if spot is None or any(math.dist(spot, other) < 2 * BADGE for other in placed.values()):
            around = Circle(*sheet.middle(wheels[name]), sheet.edge(wheels[name]))
            size = (2 * BADGE, 2 * BADGE)
            box = floor.cheapest(_around(around, size, (1, 3, 6), lambda _, __, ___: 0))
            if box is None:
                missed += 1
                continue
            spot = box.x + BADGE, box.y + BADGE
        floor.keep(Circle(*spot, BADGE))
        placed[name] = spot
    return placed, missed


def _on_wheel(sheet: Sheet, wheel: shape.DriveWheel) -> Point | None:
    """A place on the wheel for its number: its middle, or as far from it as a pin asks."""
    x, y = sheet.middle(wheel)
    if "hole" not in wheel or not sheet.has_pins:
        return x, y
    hx, hy = sheet.middle(wheel["hole"])
    far = math.hypot(x - hx, y - hy)
    move = BADGE + SMALL_PIN + 1.5 - far
    if move <= 0:
        return x, y
    if far == 0 or move + BADGE > sheet.body(wheel) + 2:
        return None
    return x + move * (x - hx) / far, y + move * (y - hy) / far


def place_loupe(sheet: Sheet, floor: Floor, r: float) -> Circle | None:
    """The nearest place for the loupe and the word under it, its leader over no other wheel."""
    start = Circle(*sheet.middle(sheet.tensioner), sheet.edge(sheet.tensioner))
    others = [
        Circle(*sheet.middle(wheel), sheet.edge(wheel))
        for wheel in sheet.wheels
        if wheel is not sheet.tensioner
    ]
    best: tuple[float, Circle] | None = None
    for x in range(math.ceil(r) + 3, math.floor(sheet.view.width - r - 2), 6):
        for y in range(math.ceil(r) + 3, math.floor(sheet.view.height - r - 2), 6):
            loupe = Circle(x, y, r + 3)
            cost = math.hypot(x - start.x, y - start.y)
            if cost < start.r + r + _LEADER:
                continue
            cost += 60 if floor.is_in_loop(x, y) else 0
            if best is not None and cost >= best[0] - 1e-6:
                continue
            if not floor.is_free_circle(loupe) or not floor.is_free(loupe_word(loupe)):
                continue
            leader = points_between(start[:2], (x, y))
            if any(math.hypot(px - c.x, py - c.y) < c.r for px, py in leader for c in others):
                continue
            best = cost, loupe
    if best is None:
        return None
    found = best[1]
    floor.keep(found, *(Circle(*at, 5) for at in points_between(start[:2], found[:2])))
    floor.taken.append(loupe_word(found))
    return Circle(found.x, found.y, r)


def loupe_word(loupe: Circle) -> Box:
    """Return where the loupe's word stands: centred below its rim, px."""
    w = len(LOUPE_WORD) * _LETTER
    return Box(loupe.x - w / 2, loupe.y + loupe.r + 2, w, _LINE)
