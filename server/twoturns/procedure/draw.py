"""
The drive as a standalone SVG: for the author of a procedure, and for the evidence report.

The same shapes, rule for rule, as the phone's `client/src/parts/drive-geometry.ts`: a report must
show what the phone showed. A test draws both and compares them. There a comment says why a rule is
as it is; here only what differs.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from twoturns.procedure.drive_sheet import (
    DETAIL_FROM,
    SHRINK,
    Box,
    Floor,
    Sheet,
    State,
    View,
    Word,
    first_looked,
    n1,
    place_tags,
    place_words,
    r1,
    tag_of,
)

Shape = dict[str, Any]

THEMES = {
    "indoors": {"ground": "#E6ECE7", "plate": "#CDD7D0", "ink": "#0E1F1B", "act": "#0B3A86"}
    | {"line": "#5C6D67"},
    "sun": {"ground": "#FFFFFF", "plate": "#FFFFFF", "ink": "#000000", "act": "#000000"}
    | {"line": "#000000"},
    "night": {"ground": "#0A1210", "plate": "#1B2825", "ink": "#EFE9DA", "act": "#A6C8FF"}
    | {"line": "#7F8F88"},
}
SUN_LINES = 1.35  # lines grow in the sun


def svg(
    drive: Mapping[str, Any],
    conditions: Mapping[str, Sequence[str]] | None = None,
    look: Sequence[str] | None = None,
    theme: str = "indoors",
    *,
    tags: Mapping[str, str] | None = None,
) -> str:
    """
    Draw a bundle's DRIVE, 360 px wide.

    Args:
        drive: DRIVE (DEVELOPERS.md, section 6).
        conditions: The values each condition may have; without it belt and wheels are on, pins out.
        look: Wheels, and tool slots of pins, to look at.
        theme: One of THEMES.
        tags: What is stamped on a pin, by tool slot; the slot in capitals where nothing is given.
    """
    colours = THEMES[theme]
    lines = SUN_LINES if theme == "sun" else 1
    state, view = state_of(drive, conditions or {}), View(look=look or (), tags=tags or {})
    words = in_words(drive, state, view)
    drawn = "".join(_element(shape, colours, lines) for shape in shapes(drive, state, view))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{view.width:g}" height="{view.height:g}" '
        f'viewBox="0 0 {view.width:g} {view.height:g}" role="img" aria-label={quoteattr(words)}>'
        f"<title>{escape(words)}</title>"
        f'<rect width="{view.width:g}" height="{view.height:g}" fill="{colours["ground"]}"/>'
        f"{drawn}</svg>"
    )


def state_of(drive: Mapping[str, Any], possible: Mapping[str, Sequence[str]]) -> State:
    """The state of a drive out of the values each condition may have now."""

    def values(owner: Mapping[str, Any]) -> Sequence[str]:
        return possible.get(owner.get("condition", ""), ())

    pins: dict[str, bool | None] = {}
    for wheel in drive["wheels"]:
        if "hole" in wheel:
            now = values(wheel["hole"])
            pins[wheel["id"]] = (None if len(now) > 1 else True) if "in" in now else False
    belt_now = values(drive["belt"])
    belt = "off" if list(belt_now) == ["off"] else "old" if "old" in belt_now else "new"
    gone = [wheel["id"] for wheel in drive["wheels"] if list(values(wheel)) == ["off"]]
    return State(belt, pins, gone)


_BELT_WORDS = {
    "old": "The old belt is on.",
    "new": "The new belt is on.",
    "off": "The belt is off.",
}


def in_words(drive: Mapping[str, Any], state: State, view: View) -> str:
    """The state and what to look at, in sentences."""
    words = ["The drive, seen from the belt end.", _BELT_WORDS[state.belt]]
    labels = {wheel["id"]: wheel["label"].lower() for wheel in drive["wheels"]}
    holes = [(wheel["id"], wheel["hole"]) for wheel in drive["wheels"] if "hole" in wheel]
    for pin, one, many in (
        (True, "is in", "are in"),
        (False, "is out", "are out"),
        (None, "may be in or out", "may be in or out"),
    ):
        tags = [tag_of(hole, view) for wheel, hole in holes if state.pins.get(wheel, False) is pin]
        if tags:
            pins, verb = ("Pins", many) if len(tags) > 1 else ("Pin", one)
            words.append(f"{pins} {_listed(tags)} {verb}.")
    if state.gone:
        words.append(f"Off the engine: {_listed([f'the {labels[name]}' for name in state.gone])}.")
    by_slot = {hole["pin"]: f"pin {tag_of(hole, view)}" for _, hole in holes}
    names = {wheel: f"the {label}" for wheel, label in labels.items()}
    looked = [(names | by_slot)[name] for name in view.look if name in names | by_slot]
    if looked:
        words.append(f"Look at {_listed(looked)}.")
    span = drive["span"]
    if view.pluck:
        words.append(f"Pluck the span from the {labels[span['from']]} to the {labels[span['to']]}.")
    if view.counts:
        words += [
            f"{count['teeth']} teeth from the mark of the {labels[count['from']]} "
            f"to that of the {labels[count['to']]}."
            for count in drive["counts"]
        ]
    return " ".join(words)


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _text_px(shape: Shape) -> float:
    """Width that Archivo gives a text: a report may be read where another typeface stands in."""
    per_letter = 12.1 if shape["halo"] else 10.6
    return len(shape["text"]) * per_letter * float(shape["size"]) / 19


def _element(shape: Shape, colours: Mapping[str, str], lines: float) -> str:
    """One shape as SVG text."""

    def colour(name: str | None) -> str:
        return colours[name] if name else "none"

    if shape["kind"] == "text":
        weight, spacing = (640, ".04em") if shape["halo"] else (720, "0")
        halo = (
            f' stroke="{colours["ground"]}" stroke-width="3" paint-order="stroke"'
            if shape["halo"]
            else ""
        )
        return (
            f'<text x="{n1(shape["x"])}" y="{n1(shape["y"])}" font-size="{shape["size"]}" '
            f'font-family="Archivo, sans-serif" font-weight="{weight}" font-stretch="80%" '
            f'letter-spacing="{spacing}" text-anchor="middle" textLength="{n1(_text_px(shape))}" '
            f'lengthAdjust="spacingAndGlyphs" fill="{colour(shape["fill"])}"{halo}>'
            f"{escape(shape['text'])}</text>"
        )
    place = {
        "circle": ("cx", "cy", "r"),
        "rect": ("x", "y", "w", "h", "rx"),
        "path": (),
    }[shape["kind"]]
    names = {"w": "width", "h": "height"}
    drawn = [f'{names.get(name, name)}="{n1(shape[name])}"' for name in place]
    drawn += [f'd="{shape["d"]}"'] if "d" in shape else []
    drawn += [f'fill="{colour(shape.get("fill"))}"', f'stroke="{colour(shape.get("stroke"))}"']
    if "width" in shape:
        grown = shape["width"] * (1 if shape["stroke"] == "ground" else lines)
        drawn.append(f'stroke-width="{grown:.2f}"')
    drawn += [f'stroke-dasharray="{shape["dash"]}"'] if "dash" in shape else []
    drawn += [f'pathLength="{shape["length"]}"'] if "length" in shape else []
    return f'<{shape["kind"]} {" ".join(drawn)} stroke-linejoin="round"/>'


def _ray(x: float, y: float, mdeg: float, start: float, end: float) -> str:
    """A line outward from a middle, between two radii in px."""
    dx, dy = math.cos(math.radians(mdeg / 1000)), -math.sin(math.radians(mdeg / 1000))
    return f"M{n1(x + start * dx)} {n1(y + start * dy)}L{n1(x + end * dx)} {n1(y + end * dy)}"


def _circle(x: float, y: float, r: float, **drawn: Any) -> Shape:  # noqa: ANN401 - a shape's fields
    return {"kind": "circle", "cx": x, "cy": y, "r": r, **drawn}


def _path(d: str, **drawn: Any) -> Shape:  # noqa: ANN401 - a shape's fields
    return {"kind": "path", "d": d, **drawn}


def _text(x: float, y: float, size: int, fill: str, text: str, *, halo: bool) -> Shape:
    return {"kind": "text", "x": x, "y": y, "size": size, "fill": fill, "halo": halo, "text": text}


def _wheel_shapes(sheet: Sheet, wheel: Mapping[str, Any]) -> list[Shape]:
    x, y = sheet.middle(wheel)
    r = sheet.body(wheel)
    if sheet.is_gone(wheel):
        arm = max(3, 5000 * sheet.k)
        cross = f"M{n1(x - arm)} {n1(y)}H{n1(x + arm)}M{n1(x)} {n1(y - arm)}V{n1(y + arm)}"
        return [
            _circle(x, y, r, stroke="line", width=1.8, dash="5 4"),
            _path(cross, stroke="line", width=1.8),
        ]
    if "teeth" in wheel or wheel["inside"]:
        tooth = max(1.2, 3000 * sheet.k)
        rim = (
            [_circle(x, y, r, stroke="ink", width=tooth, dash="1 1", length=2 * wheel["teeth"])]
            if "teeth" in wheel
            else []
        )
        hub = max(2.6, 7000 * sheet.k)
        return [
            _circle(x, y, r, fill="plate"),
            *rim,
            _circle(x, y, r - tooth / 2, stroke="ink", width=1.4),
            _circle(x, y, hub, fill="ground", stroke="ink", width=1.4),
            _circle(x, y, 1.4, fill="ink"),
        ]
    middle = (
        _eccentric_shapes(sheet, wheel, r)
        if "eccentric" in wheel
        else [_circle(x, y, max(2, 5000 * sheet.k), fill="ink")]
    )
    return [
        _circle(x, y, r, fill="ground", stroke="ink", width=1.8),
        _circle(x, y, r * 0.62, stroke="ink", width=1),
        *middle,
    ]


def _eccentric_shapes(sheet: Sheet, wheel: Mapping[str, Any], r: float) -> list[Shape]:
    eccentric = wheel["eccentric"]
    (x, y), (sx, sy) = sheet.middle(wheel), sheet.middle(eccentric)
    size = max(2.4, 5200 * sheet.k)
    hexagon = "L".join(
        f"{n1(sx + size * math.cos(i * math.pi / 3))} {n1(sy + size * math.sin(i * math.pi / 3))}"
        for i in range(6)
    )
    key = _path(f"M{hexagon}Z", fill="ink")
    if math.hypot(sx - x, sy - y) > r:  # a swinging arm
        arm = f"M{n1(sx)} {n1(sy)}L{n1(x)} {n1(y)}"
        return [
            _path(arm, stroke="ink", width=max(2.6, 5000 * sheet.k)),
            _circle(x, y, max(2, 5000 * sheet.k), fill="ink"),
            key,
        ]
    notch = "".join(
        _ray(x, y, eccentric["notch_mdeg"] + side, r * 0.66, r * 0.92) for side in (-24000, 24000)
    )
    pointer = _ray(x, y, eccentric["pointer_mdeg"], r * 0.46, r * 0.88)
    return [
        _circle(x, y, r * 0.46, fill="plate", stroke="ink", width=1),
        key,
        _path(notch, stroke="ink", width=1.6),
        _path(pointer, stroke="ink", width=2.2),
    ]


def _belt_shapes(sheet: Sheet) -> list[Shape]:
    if sheet.state.belt == "off":
        return []
    pitch, back = sheet.belt.get("pitch_um"), sheet.belt["back_um"]
    thick = max(2.6, 2.4 * back * sheet.k)
    if pitch is None:
        inner = _path(sheet.path(-back), stroke="ink", width=1)
    else:
        inner = _path(
            sheet.path(-0.294 * pitch),
            stroke="ink",
            width=max(1.5, 0.5 * pitch * sheet.k),
            dash="1.04 0.96",
            length=2 * sheet.belt["teeth"],
        )
    line = sheet.path(0.3 * back)
    is_old = sheet.state.belt == "old"
    outer = _path(line, stroke="ink", width=thick + 1.2 if is_old else thick)
    return [inner, outer, *([_path(line, stroke="ground", width=thick - 1.4)] if is_old else [])]


def _mark_shapes(sheet: Sheet, wheel: Mapping[str, Any]) -> list[Shape]:
    if "mark_mdeg" not in wheel or sheet.is_gone(wheel):
        return []
    x, y = sheet.middle(wheel)
    r, mdeg = sheet.k * wheel["r_um"], wheel["mark_mdeg"]
    short = min(1, r / 18)
    lines = _ray(x, y, mdeg, r - 9.6 * short, r - 3.6 * short) + _ray(x, y, mdeg, r + 3.4, r + 10)
    return [_path(lines, stroke="ink", width=2.6)]


def _arrow_shapes(sheet: Sheet) -> list[Shape]:
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
        _path(f"M{on(start, r)}{arc}", stroke="ink", width=2.4),
        _path(f"M{on(end, r - head * 0.6)}L{on(end, r + head * 0.6)}L{tip}Z", fill="ink"),
    ]


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
        _path(bow(0.4 * swing) + bow(-0.4 * swing), stroke="act", width=1.4),
        _path(bow(swing) + bow(-swing), stroke="act", width=2.6),
    ]


def _pin_shapes(sheet: Sheet, tags: Mapping[str, Box]) -> list[Shape]:
    is_small = sheet.view.height < DETAIL_FROM
    r = 4.8 if is_small else 6.8
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
            drawn.append(_circle(x, y, r, fill=ink, stroke="ground", width=edge))
            drawn.append(_path(cross, stroke="ground", width=line))
            continue
        width, size = 2.6 if ink == "act" else 1.8, r + 1.5 if pin is None else r
        drawn.append(_circle(x, y, size, fill="ground", stroke=ink, width=width, dash="3 2.4"))
        if pin is None:
            drawn.append(_text(x, y + 4.6, 13, ink, "?", halo=False))
    return drawn


def _tag_shapes(
    sheet: Sheet, hole: Mapping[str, Any], box: Box | None, pin: bool | None, ink: str
) -> list[Shape]:
    if box is None:
        return []
    x, y, w, h = box
    px, py = sheet.middle(hole)
    mx, my = x + w / 2, y + h / 2
    leader = f"M{n1(px)} {n1(py)}L{n1(mx)} {n1(my)}"
    drawn = [_path(leader, stroke=ink, width=3.6 if ink == "act" else 2.2)]
    if ink == "act":
        frame = {"kind": "rect", "x": x - 4, "y": y - 4, "w": w + 8, "h": h + 8, "rx": 4}
        drawn.append(frame | {"fill": "ground", "stroke": "act", "width": 2.6})
    if pin:
        drawn.append({"kind": "rect", "x": x, "y": y, "w": w, "h": h, "rx": 2, "fill": ink})
    fill = "ground" if pin else ink
    return [*drawn, _text(mx, my + 6.6, 19, fill, tag_of(hole, sheet.view), halo=False)]


def _look_shapes(sheet: Sheet) -> list[Shape]:
    rings = [
        _circle(*sheet.middle(wheel), sheet.ring(wheel), stroke="act", width=4.5)
        for wheel in sheet.wheels
        if sheet.is_looked(wheel["id"])
    ]
    start, end = first_looked(sheet), sheet.view.leader_to
    if not start or not end:
        return rings
    far = math.hypot(end[0] - start.x, end[1] - start.y)
    x = start.x + (end[0] - start.x) * start.r / far
    y = start.y + (end[1] - start.y) * start.r / far
    leader = f"M{n1(x)} {n1(y)}L{n1(end[0])} {n1(end[1])}"
    return [*rings, _path(leader, stroke="act", width=3)]


def _word_shape(sheet: Sheet, word: Word) -> Shape:
    x, y = word.box.x + word.box.w / 2, word.box.y + word.box.h / 2 + 6.6
    fill = "act" if sheet.is_looked(word.wheel) else "ink"
    return _text(x, y, 19, fill, word.text, halo=True)


def shapes(drive: Mapping[str, Any], state: State, view: View) -> list[Shape]:
    """All shapes, back to front. The drive is drawn smaller until every word has its place."""
    best: tuple[int, Sheet, dict[str, Box], list[Word]] | None = None
    for shrink in SHRINK:
        sheet = Sheet(drive, state, view, shrink)
        floor = Floor(sheet)
        tags, tags_missed = place_tags(sheet, floor)
        words, words_missed = place_words(sheet, floor)
        missed = tags_missed + words_missed
        if best is None or missed < best[0]:
            best = missed, sheet, tags, words
        if missed == 0:
            break
    assert best is not None  # noqa: S101 - the loop above runs at least once
    _, sheet, tags, words = best
    drawn = [
        *(shape for wheel in sheet.wheels for shape in _wheel_shapes(sheet, wheel)),
        *_look_shapes(sheet),
        *_belt_shapes(sheet),
        *_pluck_shapes(sheet),
        *(shape for wheel in sheet.wheels for shape in _mark_shapes(sheet, wheel)),
        *_arrow_shapes(sheet),
        *_pin_shapes(sheet, tags),
        *(_word_shape(sheet, word) for word in words),
    ]
    places = ("cx", "cy", "r", "x", "y", "w", "h")
    return [{k: r1(v) if k in places else v for k, v in shape.items()} for shape in drawn]
