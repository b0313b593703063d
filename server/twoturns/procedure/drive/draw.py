"""
The drive as a standalone SVG, for the author of a procedure: `procedure draw`. The report of an
evidence bag has no drawing.

Its shapes are the phone's (`shapes.py`), its words too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from twoturns.procedure import shape
from twoturns.procedure.drive.shapes import shapes
from twoturns.procedure.drive.sheet import State, View, n1, tag_of
from twoturns.procedure.drive.sides import is_arm, slack_spans, tensioner_of, tightens
from twoturns.procedure.drive.strokes import Shape
from twoturns.words import t
from twoturns.words.en.procedure.drive import draw as texts

THEMES = {
    "indoors": {"ground": "#E6ECE7", "plate": "#CDD7D0", "ink": "#0E1F1B", "act": "#0B3A86"}
    | {"line": "#5C6D67"},
    "sun": {"ground": "#FFFFFF", "plate": "#FFFFFF", "ink": "#000000", "act": "#000000"}
    | {"line": "#000000"},
    "night": {"ground": "#0A1210", "plate": "#1B2825", "ink": "#EFE9DA", "act": "#A6C8FF"}
    | {"line": "#7F8F88"},
}
SUN_LINES = 1.35  # lines grow in the sun


def svg(drive: shape.Drive, state: State, view: View | None = None, theme: str = "indoors") -> str:
    """
    Draw a bundle's DRIVE (formats.md, section 6).

    Args:
        drive: DRIVE.
        state: What it is like.
        view: The box, and what to show in it.
        theme: One of THEMES.
    """
    view = view or View()
    colours = THEMES[theme]
    lines = SUN_LINES if theme == "sun" else 1
    words = in_words(drive, state, view)
    drawn = "".join(_element(shape, colours, lines) for shape in shapes(drive, state, view))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{view.width:g}" height="{view.height:g}" '
        f'viewBox="0 0 {view.width:g} {view.height:g}" role="img" aria-label={quoteattr(words)}>'
        f"<title>{escape(words)}</title>"
        f'<rect width="{view.width:g}" height="{view.height:g}" fill="{colours["ground"]}"/>'
        f"{drawn}</svg>"
    )


def state_of(drive: shape.Drive, possible: Mapping[str, Sequence[str]]) -> State:
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


def tags_of(bundle: shape.Bundle) -> dict[str, str]:
    """What is stamped on each tool, by slot."""
    return {tool["slot"]: tool["tag"] for tool in bundle["tools"] if "tag" in tool}


def step_view(bundle: shape.Bundle, at: int, state: State) -> View:
    """What the drawing shows at a step of a bundle."""
    drive, step = bundle["drive"], bundle["steps"][at]
    tensioner = drive["wheels"][tensioner_of(drive)]
    is_set_now = state.belt == "new" and not step["undo"] and not is_arm(tensioner)
    return View(
        look=step["look"],
        pluck=any(proof.get("unit") == "Hz" for proof in step["proof"]),
        fitting=_lays_belt(bundle, at),
        loupe=is_set_now and step["look"][:1] == [tensioner["id"]],
        tags=tags_of(bundle),
    )


def _lays_belt(bundle: shape.Bundle, at: int) -> bool:
    """Whether a step needs the belt to be off and leaves it on."""
    belt = bundle["drive"]["belt"].get("condition")
    machine = bundle["machine"]
    step = machine["steps"][at]
    for c, condition in enumerate(machine["conditions"]):
        if condition["id"] == belt and "off" in condition["values"]:
            off = condition["values"].index("off")
            left = [value for of, value in step["effect"] if of == c]
            return [c, 1 << off] in step["guard"] and left not in ([], [off])
    return False


def in_words(drive: shape.Drive, state: State, view: View) -> str:
    """The state and what to look at, in sentences."""
    words = [t(texts.FROM_THE_BELT_END), t(texts.BELT[state.belt])]
    labels = {wheel["id"]: wheel["label"].lower() for wheel in drive["wheels"]}
    words += _pin_words(drive, state, view)
    if state.gone:
        words.append(
            t(texts.OFF_THE_ENGINE, parts=_listed([_the(labels[wheel]) for wheel in state.gone]))
        )
    pins = {hole["pin"]: t(texts.PIN, tag=tag_of(hole, view)) for _, hole in _holes(drive)}
    names = {wheel: _the(label) for wheel, label in labels.items()} | pins
    looked = [names[name] for name in view.look if name in names]
    if view.fitting:
        words += _fitting_words(drive, labels)
    elif looked:
        words.append(t(texts.LOOK_AT, parts=_listed(looked)))
    span = drive["span"]
    if view.pluck:
        words.append(t(texts.PLUCK, one=labels[span["from"]], other=labels[span["to"]]))
    if view.loupe:
        tensioner = labels[drive["wheels"][tensioner_of(drive)]["id"]]
        words.append(t(texts.TIGHTENS, tensioner=tensioner, way=tightens(drive)))
    return " ".join(words)


def _holes(drive: shape.Drive) -> list[tuple[str, shape.Hole]]:
    return [(wheel["id"], wheel["hole"]) for wheel in drive["wheels"] if "hole" in wheel]


def _pin_words(drive: shape.Drive, state: State, view: View) -> Iterator[str]:
    """The pins that are in, those that are out, and those of which that is not known."""
    says = {True: texts.PINS_ARE_IN, False: texts.PINS_ARE_OUT, None: texts.PINS_MAY_BE_IN}
    for pin, message in says.items():
        holes = [hole for wheel, hole in _holes(drive) if state.pins.get(wheel, False) is pin]
        if holes:
            tags = _listed([tag_of(hole, view) for hole in holes])
            yield t(message, n=len(holes), tags=tags)


def _fitting_words(drive: shape.Drive, labels: Mapping[str, str]) -> list[str]:
    """How the belt goes on: its order, its two sides, the teeth to each mark."""
    names = [labels[wheel["id"]] for wheel in drive["wheels"]]
    slack = slack_spans(drive)
    over = _listed([_the(label) for label in names[1:slack]])
    return [
        t(texts.ORDER, wheels=", ".join(labels[name] for name in drive["order"])),
        t(texts.SLACK, first=names[0], slack=over, last=names[slack % len(names)]),
        *(
            t(
                texts.COUNT,
                teeth=count["teeth"],
                one=labels[count["from"]],
                other=labels[count["to"]],
            )
            for count in drive["counts"]
        ),
    ]


def _the(label: str) -> str:
    return t(texts.THE, label=label)


def _listed(names: Sequence[str]) -> str:
    if len(names) < 2:
        return "".join(names)
    return t(texts.LISTED, most=", ".join(names[:-1]), last=names[-1])


def _text_px(shape: Shape) -> float:
    """Width that Archivo gives a text: a report may be read where another typeface stands in."""
    per_letter = 9.3 if shape["text"].islower() else 12.1 if shape["halo"] else 10.6
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
