"""
The drive as a list of plain shapes in px: wheels to scale, belt, marks, pins, words.

The same shapes, rule for rule, as the phone's `client/src/parts/drive-shapes.ts`: a report must
show what the phone showed. A test draws both and compares them. There a comment says why a rule is
as it is; here only what differs.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping

from twoturns.procedure import shape
from twoturns.procedure.drive.loupe import loupe_shapes
from twoturns.procedure.drive.places import (
    Floor,
    Word,
    place_loupe,
    place_numbers,
    place_sides,
    place_tags,
    place_words,
)
from twoturns.procedure.drive.sheet import (
    BADGE,
    LOUPES,
    SHRINK,
    SMALL_PIN,
    Box,
    Point,
    Sheet,
    State,
    View,
    between,
    n1,
    r1,
    tag_of,
)
from twoturns.procedure.drive.sides import is_arm
from twoturns.procedure.drive.strokes import Shape, circle, path, ray, text


def _wheel_shapes(sheet: Sheet, wheel: shape.DriveWheel) -> list[Shape]:
    x, y = sheet.middle(wheel)
    r = sheet.body(wheel)
    if sheet.is_gone(wheel):
        arm = max(3, 5000 * sheet.k)
        cross = f"M{n1(x - arm)} {n1(y)}H{n1(x + arm)}M{n1(x)} {n1(y - arm)}V{n1(y + arm)}"
        return [
            circle(x, y, r, stroke="line", width=1.8, dash="5 4"),
            path(cross, stroke="line", width=1.8),
        ]
    if "teeth" in wheel or wheel["inside"]:
        tooth = max(1.2, 3000 * sheet.k)
        rim = (
            [circle(x, y, r, stroke="ink", width=tooth, dash="1 1", length=2 * wheel["teeth"])]
            if "teeth" in wheel
            else []
        )
        hub = max(2.6, 7000 * sheet.k)
        return [
            circle(x, y, r, fill="plate"),
            *rim,
            circle(x, y, r - tooth / 2, stroke="ink", width=1.4),
            circle(x, y, hub, fill="ground", stroke="ink", width=1.4),
            circle(x, y, 1.4, fill="ink"),
        ]
    middle = (
        _eccentric_shapes(sheet, wheel, r)
        if "eccentric" in wheel
        else [circle(x, y, max(2, 5000 * sheet.k), fill="ink")]
    )
    return [
        circle(x, y, r, fill="ground", stroke="ink", width=1.8),
        circle(x, y, r * 0.62, stroke="ink", width=1),
        *middle,
    ]


def _eccentric_shapes(sheet: Sheet, wheel: shape.DriveWheel, r: float) -> list[Shape]:
    eccentric = wheel["eccentric"]
    (x, y), (sx, sy) = sheet.middle(wheel), sheet.middle(eccentric)
    size = max(2.4, 5200 * sheet.k)
    hexagon = "L".join(
        f"{n1(sx + size * math.cos(i * math.pi / 3))} {n1(sy + size * math.sin(i * math.pi / 3))}"
        for i in range(6)
    )
    key = path(f"M{hexagon}Z", fill="ink")
    if is_arm(wheel):
        arm = f"M{n1(sx)} {n1(sy)}L{n1(x)} {n1(y)}"
        return [
            path(arm, stroke="ink", width=max(2.6, 5000 * sheet.k)),
            circle(x, y, max(2, 5000 * sheet.k), fill="ink"),
            key,
        ]
    notch = "".join(
        ray(x, y, eccentric["notch_mdeg"] + side, r * 0.66, r * 0.92) for side in (-24000, 24000)
    )
    pointer = ray(x, y, eccentric["pointer_mdeg"], r * 0.46, r * 0.88)
    return [
        circle(x, y, r * 0.46, fill="plate", stroke="ink", width=1),
        key,
        path(notch, stroke="ink", width=1.6),
        path(pointer, stroke="ink", width=2.2),
    ]


def _belt_shapes(sheet: Sheet) -> list[Shape]:
    if sheet.state.belt == "off":
        return _coming_belt_shapes(sheet) if sheet.view.fitting else []
    pitch, back = sheet.belt.get("pitch_um"), sheet.belt["back_um"]
    thick = max(2.6, 2.4 * back * sheet.k)
    if pitch is None:
        inner = path(sheet.path(-back), stroke="ink", width=1)
    else:
        inner = path(
            sheet.path(-0.294 * pitch),
            stroke="ink",
            width=max(1.5, 0.5 * pitch * sheet.k),
            dash="1.04 0.96",
            length=2 * sheet.belt["teeth"],
        )
    if sheet.state.belt == "old":
        line = sheet.path(0.3 * back)
        hollow = path(line, stroke="ground", width=thick - 1.4)
        return [inner, path(line, stroke="ink", width=thick + 1.2), hollow]
    slack, tight = sheet.sides(0.3 * back)
    return [
        inner,
        path(slack, stroke="ink", width=0.55 * thick),
        path(tight, stroke="ink", width=thick + 0.8),
    ]


def _coming_belt_shapes(sheet: Sheet) -> list[Shape]:
    """Where the belt goes on: dashes, short and light where it will be slack."""
    slack, tight = sheet.sides(0)
    return [
        path(slack, stroke="act", width=2.4, dash="2.4 3.6"),
        path(tight, stroke="act", width=3.6, dash="8 3"),
    ]


def _mark_shapes(sheet: Sheet, wheel: shape.DriveWheel) -> list[Shape]:
    if "mark_mdeg" not in wheel or sheet.is_gone(wheel):
        return []
    x, y = sheet.middle(wheel)
    r, mdeg = sheet.k * wheel["r_um"], wheel["mark_mdeg"]
    short = min(1, r / 18)
    lines = ray(x, y, mdeg, r - 9.6 * short, r - 3.6 * short) + ray(x, y, mdeg, r + 3.4, r + 10)
    return [path(lines, stroke="ink", width=2.6)]


def _arrow_shapes(sheet: Sheet) -> list[Shape]:
    if sheet.view.fitting:  # the middle of the wheel is its number's
        return [_head_shape(*spans[0]) for spans in sheet.side_spans().values()]
    wheels = [w for w in sheet.wheels if w["inside"] and not sheet.is_gone(w)]
    if not wheels:
        return []
    wheel = max(wheels, key=lambda w: int(w["r_um"]))
    x, y = sheet.middle(wheel)
    r = sheet.body(wheel) * 0.47
    turn = 1 if sheet.drive["running"] == "clockwise" else -1
    hole = wheel.get("hole")
    middle = (
        math.atan2(hole["y_um"] - wheel["y_um"], wheel["x_um"] - hole["x_um"])
        if hole
        else -math.pi / 2
    )
    start, end = middle - turn * 0.87, middle + turn * 0.68
    head = max(4.5, r * 0.45)

    def on(angle: float, radius: float) -> str:
        return f"{n1(x + radius * math.cos(angle))} {n1(y + radius * math.sin(angle))}"

    tip = (
        f"{n1(x + r * math.cos(end) - turn * head * math.sin(end))} "
        f"{n1(y + r * math.sin(end) + turn * head * math.cos(end))}"
    )
    arc = f"A{n1(r)} {n1(r)} 0 0 {int(turn == 1)} {on(end, r)}"
    return [
        path(f"M{on(start, r)}{arc}", stroke="ink", width=2.4),
        path(f"M{on(end, r - head * 0.6)}L{on(end, r + head * 0.6)}L{tip}Z", fill="ink"),
    ]


def _head_shape(start: Point, end: Point) -> Shape:
    """The running direction, in the middle of a span."""
    (x, y), far = between(start, end), math.dist(start, end)
    dx, dy = (end[0] - start[0]) / far, (end[1] - start[1]) / far
    tip, left, right = (
        f"{n1(x + along * dx - across * dy)} {n1(y + along * dy + across * dx)}"
        for along, across in ((8, 0), (-6, 7), (-6, -7))
    )
    return path(f"M{left}L{right}L{tip}Z", fill="ink", stroke="ground", width=1.5)


def _pluck_shapes(sheet: Sheet) -> list[Shape]:
    if not sheet.view.pluck or sheet.state.belt == "off":
        return []
    arcs = sheet.drive["path"]
    index = next(i for i, arc in enumerate(arcs) if arc["wheel"] == sheet.drive["span"]["from"])
    x1, y1 = sheet.at(*arcs[index]["out"])
    x2, y2 = sheet.at(*arcs[(index + 1) % len(arcs)]["in"])

    def bow(part: float) -> str:
        mx, my = (x1 + x2) / 2 + part * (y2 - y1), (y1 + y2) / 2 - part * (x2 - x1)
        return f"M{n1(x1)} {n1(y1)}Q{n1(mx)} {n1(my)} {n1(x2)} {n1(y2)}"

    swing = min(0.28, 22 / math.hypot(x2 - x1, y2 - y1))
    return [
        path(bow(0.4 * swing) + bow(-0.4 * swing), stroke="act", width=1.4),
        path(bow(swing) + bow(-swing), stroke="act", width=2.6),
    ]


def _pin_shapes(sheet: Sheet, tags: Mapping[str, Box]) -> list[Shape]:
    if not sheet.has_pins:
        return []
    is_small = sheet.is_small or sheet.view.fitting
    r = SMALL_PIN if is_small else 6.8
    drawn: list[Shape] = []
    for wheel in sheet.wheels:
        hole = wheel.get("hole")
        if not hole or sheet.is_gone(wheel):
            continue
        x, y = sheet.middle(hole)
        pin = sheet.state.pins.get(wheel["id"], False)
        ink = "act" if sheet.is_looked(hole["pin"]) else "ink"
        drawn += _tag_shapes(sheet, hole, tags.get(wheel["id"]), pin, ink)
        if pin:
            a = r / 2
            cross = (
                f"M{n1(x - a)} {n1(y - a)}L{n1(x + a)} {n1(y + a)}"
                f"M{n1(x + a)} {n1(y - a)}L{n1(x - a)} {n1(y + a)}"
            )
            edge, line = (1.2, 1.5) if is_small else (2.4, 2.2)
            drawn.append(circle(x, y, r, fill=ink, stroke="ground", width=edge))
            drawn.append(path(cross, stroke="ground", width=line))
            continue
        width, size = 2.6 if ink == "act" else 1.8, r + 1.5 if pin is None else r
        drawn.append(circle(x, y, size, fill="ground", stroke=ink, width=width, dash="3 2.4"))
        if pin is None:
            drawn.append(text(x, y + 4.6, 13, ink, "?", halo=False))
    return drawn


def _tag_shapes(
    sheet: Sheet, hole: shape.Hole, box: Box | None, pin: bool | None, ink: str
) -> list[Shape]:
    if box is None:
        return []
    x, y, w, h = box
    px, py = sheet.middle(hole)
    mx, my = x + w / 2, y + h / 2
    leader = f"M{n1(px)} {n1(py)}L{n1(mx)} {n1(my)}"
    drawn = [path(leader, stroke=ink, width=3.6 if ink == "act" else 2.2)]
    if ink == "act":
        frame = {"kind": "rect", "x": x - 4, "y": y - 4, "w": w + 8, "h": h + 8, "rx": 4}
        drawn.append(frame | {"fill": "ground", "stroke": "act", "width": 2.6})
    if pin:
        drawn.append({"kind": "rect", "x": x, "y": y, "w": w, "h": h, "rx": 2, "fill": ink})
    fill = "ground" if pin else ink
    return [*drawn, text(mx, my + 6.6, 19, fill, tag_of(hole, sheet.view), halo=False)]


def _look_shapes(sheet: Sheet) -> list[Shape]:
    if not sheet.has_rings:
        return []
    return [
        circle(*sheet.middle(wheel), sheet.ring(wheel), stroke="act", width=4.5)
        for wheel in sheet.wheels
        if sheet.is_looked(wheel["id"])
    ]


def _number_shapes(sheet: Sheet, numbers: Mapping[str, Point]) -> list[Shape]:
    """The fitting order: a solid disc with its number at each wheel."""
    drawn: list[Shape] = []
    for number, wheel in enumerate(sheet.drive["order"], 1):
        if wheel not in numbers:
            continue
        (x, y), size = numbers[wheel], 19 if number < 10 else 14
        drawn += [
            circle(x, y, BADGE, fill="act", stroke="ground", width=1.5),
            text(x, y + 0.35 * size, size, "ground", str(number), halo=False),
        ]
    return drawn


def _word_shape(sheet: Sheet, word: Word) -> Shape:
    x, y = word.box.x + word.box.w / 2, word.box.y + word.box.h / 2 + 6.6
    fill = "act" if sheet.is_looked(word.wheel) and not sheet.view.fitting else "ink"
    return text(x, y, 19, fill, word.text, halo=True)


class _Layout:
    """The drive at one scale, with a place for all that goes with it; `missed` counts the rest."""

    def __init__(self, sheet: Sheet, loupe_r: float) -> None:
        self.sheet, view = sheet, sheet.view
        floor = Floor(sheet)
        self.numbers, self.missed = place_numbers(sheet, floor) if view.fitting else ({}, 0)
        self.loupe = place_loupe(sheet, floor, loupe_r) if sheet.has_loupe else None
        self.missed += sheet.has_loupe and self.loupe is None
        sides, missed_sides = place_sides(sheet, floor) if view.fitting else ([], 0)
        self.tags, missed_tags = place_tags(sheet, floor)
        words, missed_words = place_words(sheet, floor)
        self.words = [*sides, *words]
        self.missed += missed_sides + missed_tags + missed_words


def _layout(drive: shape.Drive, state: State, view: View) -> _Layout:
    """The largest drive, under the largest loupe, that leaves a place for everything."""
    best: _Layout | None = None
    in_the_middle = Sheet(drive, state, view, SHRINK[0])
    loupes: tuple[int, ...] = LOUPES[:1]
    asides: tuple[float, ...] = 0.5, 1, 0
    if in_the_middle.has_loupe:  # beside the drive, where its tensioner is
        is_left = in_the_middle.middle(in_the_middle.tensioner)[0] < view.width / 2
        loupes, asides = LOUPES, (1, 0.6) if is_left else (0, 0.4)
    for loupe_r, shrink, aside in itertools.product(loupes, SHRINK, asides):
        layout = _Layout(Sheet(drive, state, view, shrink, aside), loupe_r)
        if best is None or layout.missed < best.missed:
            best = layout
        if layout.missed == 0:
            return layout
    assert best is not None  # noqa: S101 - the loops above run at least once
    return best


def shapes(drive: shape.Drive, state: State, view: View) -> list[Shape]:
    """All shapes, back to front. The drive is drawn smaller until everything has its place."""
    layout = _layout(drive, state, view)
    sheet = layout.sheet
    drawn = [
        *(shape for wheel in sheet.wheels for shape in _wheel_shapes(sheet, wheel)),
        *_look_shapes(sheet),
        *_belt_shapes(sheet),
        *_pluck_shapes(sheet),
        *(shape for wheel in sheet.wheels for shape in _mark_shapes(sheet, wheel)),
        *_arrow_shapes(sheet),
        *_pin_shapes(sheet, layout.tags),
        *_number_shapes(sheet, layout.numbers),
        *(loupe_shapes(sheet, layout.loupe) if layout.loupe else []),
        *(_word_shape(sheet, word) for word in layout.words),
    ]
    places = ("cx", "cy", "r", "x", "y", "w", "h")
    return [{k: r1(v) if k in places else v for k, v in shape.items()} for shape in drawn]
