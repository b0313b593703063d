"""
The `drive:` block of a procedure, solved into the bundle's DRIVE (formats.md, section 6).

The owner writes what can be measured: where the wheels stand, how many teeth they have, the belt.
All else is computed here: where the roller stands round its stud, the path, teeth between marks,
the length and the note of the span that is plucked. What he also states (the notch, the teeth
between marks) is compared with it, so that a wrong figure is found at the desk, not at the engine.

What a source reads stands whole in `demo_jobs/van-timing-drive/procedure.yaml`, under `drive:`.
A ribbed belt has `length_mm` in place of `teeth` and `pitch_mm`. Wheels stand in belt order, the
way the belt runs, the driving one first. A wheel with `stud` is the tensioner; it has no `at`.
It takes up the slack: no wheel with a mark stands between the driving one and it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NotRequired, TypedDict

from twoturns.procedure import shape
from twoturns.procedure.drive.block import Block, DriveFault
from twoturns.procedure.drive.sides import tensioner_of, tensions_slack_side
from twoturns.trade import drive as geometry
from twoturns.trade.tension import frequency_window_hz
from twoturns.words import t
from twoturns.words.en.procedure.drive import solve as words

# Below six teeth in mesh a belt loses a fifth of its rating a tooth.
# Source: a belt maker's engineering note, 2012/2014.
LEAST_TEETH_IN_MESH = 6
# A stated count may be off by what marks are read to; a half would be the next tooth.
MOST_TEETH_OFF = 0.25


def drive(source: Mapping[str, Any]) -> shape.Drive:
    """
    Solve a drive block: plain data of strings, as the source reader gives it.

    Returns:
        DRIVE: integers in micrometres and millidegrees, frequencies as decimals.

    Raises:
        DriveFault: The first thing that is wrong, with its place.
    """
    block = Block(source)
    clockwise = block.one_of("running", ("clockwise", "anticlockwise")) == "clockwise"
    belt_block = block.block("belt")
    belt, pitch_mm, belt_mm, mass = _belt(belt_block)
    wheel_blocks = block.blocks("wheels")
    wheels, bodies = _wheels(wheel_blocks, belt_block, pitch_mm)
    path, eccentric = _solve(wheel_blocks, wheels, belt_mm, clockwise)
    _refuse_collisions(path)
    drawn = [
        _wheel(part, body, arc, eccentric, pitch_mm)
        for part, body, arc in zip(wheel_blocks, bodies, path.arcs, strict=True)
    ]
    marks = {
        part.name("id"): part.number("mark_deg") for part in wheel_blocks if part.has("mark_deg")
    }
    solved: shape.Drive = {
        "running": "clockwise" if clockwise else "anticlockwise",
        "belt": belt,
        "wheels": drawn,
        "path": [_arc(arc) for arc in path.arcs],
        "order": _order(block, [wheel.id for wheel in wheels]),
        "counts": [_count(part, path, pitch_mm, marks) for part in block.blocks("counts")],
        "span": _span(block.block("span"), path, mass),
    }
    for part in (block, belt_block, *wheel_blocks):
        part.done()
    _refuse_tight_tensioner(solved)
    return solved


def _refuse_tight_tensioner(solved: shape.Drive) -> None:
    if not tensions_slack_side(solved):
        raise DriveFault(
            ("wheels", tensioner_of(solved)),
            t(words.TENSIONER_ON_TIGHT_SIDE, id=solved["wheels"][0]["id"]),
            hint=t(words.TENSIONER_ON_TIGHT_SIDE_HINT),
            code="tensioner-tight",
        )


class _Body(TypedDict):
    """What of a wheel is so wherever the belt brings it."""

    id: str
    label: str
    teeth: NotRequired[int]


def _um(mm: float) -> int:
    return round(mm * 1000)


def _belt(block: Block) -> tuple[shape.DriveBelt, float | None, float, float]:
    """The belt as drawn, its pitch (None: ribbed), its length in mm, its mass in kg/m."""
    teeth = block.whole("teeth", 20) if block.has("teeth") else None
    pitch_mm = None
    if teeth is not None:
        pitch_mm = block.number("pitch_mm", above=0)
        length_mm = teeth * pitch_mm
    else:
        length_mm = block.number("length_mm", above=0)
    belt: shape.DriveBelt = {
        "width_um": _um(block.number("width_mm", above=0)),
        "back_um": _um(block.number("back_mm", above=0)),
        "length_um": _um(length_mm),
    }
    if teeth is not None and pitch_mm is not None:
        belt["teeth"], belt["pitch_um"] = teeth, _um(pitch_mm)
    if block.has("condition"):
        belt["condition"] = block.name("condition")
    return belt, pitch_mm, length_mm, block.number("mass_kg_per_m", above=0)


def _wheels(
    blocks: list[Block], belt: Block, pitch_mm: float | None
) -> tuple[list[geometry.Wheel], list[_Body]]:
    """The wheels for the solver (a tensioner at its stud) and the drawn form of their bodies."""
    back_mm, pitch_line_mm = belt.number("back_mm"), belt.number("pitch_line_mm")
    wheels: list[geometry.Wheel] = []
    bodies: list[_Body] = []
    for block in blocks:
        name = block.name("id")
        if name in {wheel.id for wheel in wheels}:
            raise block.fault(
                "id", t(words.WHEEL_NAMED_TWICE, name=name), t(words.WHEEL_NAMED_TWICE_HINT)
            )
        inside = block.one_of("side", ("inside", "outside")) == "inside"
        body: _Body = {"id": name, "label": block.text("label")}
        if block.has("teeth"):
            radius_mm, body["teeth"] = _toothed(block, inside, pitch_mm)
        else:
            half = block.number("diameter_mm", above=0) / 2
            radius_mm = half + (pitch_line_mm if inside else back_mm)
        x_mm, y_mm = block.point("stud" if block.has("stud") else "at")
        wheels.append(geometry.Wheel(name, x_mm, y_mm, radius_mm, inside))
        bodies.append(body)
    return wheels, bodies


def _toothed(block: Block, inside: bool, pitch_mm: float | None) -> tuple[float, int]:
    if pitch_mm is None or not inside:
        why = t(words.BELT_TOOTHLESS) if pitch_mm is None else t(words.BACK_TOOTHLESS)
        raise block.fault("teeth", t(words.TEETH_UNMATCHED, why=why), t(words.TEETH_UNMATCHED_HINT))
    teeth = block.whole("teeth", 8)
    return geometry.pitch_radius_mm(teeth, pitch_mm), teeth


@dataclass(frozen=True)
class Fit:
    """
    How a belt fits round wheels: whatever a block states of it.

    Args:
        path: With the roller where the belt fits nearest to the stated notch.
        angles_deg: All angles of the roller round its stud at which the belt fits.
        counts: Teeth along the tight side from one mark to another, for each count that is stated.
    """

    path: geometry.Path
    angles_deg: tuple[float, ...]
    counts: tuple[tuple[str, str, float], ...]


def fit(source: Mapping[str, Any]) -> Fit:
    """
    Say how the belt fits where the wheels stand, before what is stated of it is held against it.

    Raises:
        DriveFault: The first thing without which nothing can be computed.
    """
    block = Block(source)
    clockwise = block.one_of("running", ("clockwise", "anticlockwise")) == "clockwise"
    belt_block, wheel_blocks = block.block("belt"), block.blocks("wheels")
    _, pitch_mm, belt_mm, _ = _belt(belt_block)
    wheels, _ = _wheels(wheel_blocks, belt_block, pitch_mm)
    path, settings = _settled(_tensioner(wheel_blocks), wheels, belt_mm, clockwise)
    marks = {
        part.name("id"): part.number("mark_deg") for part in wheel_blocks if part.has("mark_deg")
    }
    counts = [
        (*ends, geometry.teeth_between_marks(path, pitch_mm, *((at, marks[at]) for at in ends)))
        for part in block.blocks("counts")
        if pitch_mm and {*(ends := (part.text("from"), part.text("to")))} <= marks.keys()
    ]
    return Fit(path, tuple(setting.angle_deg for setting in settings), tuple(counts))


def _tensioner(blocks: list[Block]) -> Block:
    tensioners = [block for block in blocks if block.has("stud")]
    if len(tensioners) != 1:
        raise DriveFault(
            ("wheels",),
            t(words.NOT_ONE_STUD, tensioners=len(tensioners)),
            hint=t(words.NOT_ONE_STUD_HINT),
            code="tensioner",
        )
    return tensioners[0]


def _settled(
    block: Block, wheels: list[geometry.Wheel], belt_mm: float, clockwise: bool
) -> tuple[geometry.Path, list[geometry.Setting]]:
    """Swing the roller until the belt fits; the setting nearest to the stated notch comes first."""
    eccentric = geometry.Eccentric(
        block.name("id"), *block.point("stud"), block.number("eccentric_mm", above=0)
    )
    notch_deg = block.number("notch_deg")
    try:
        settings = sorted(
            geometry.eccentric_settings(wheels, eccentric, belt_mm, clockwise=clockwise),
            key=lambda setting: _apart_deg(setting.angle_deg, notch_deg),
        )
        placed = geometry.at_angle(wheels, eccentric, settings[0].angle_deg)
        return geometry.belt_path(placed, clockwise=clockwise), settings
    except geometry.DriveError as error:
        raise DriveFault(("wheels",), str(error), hint=error.hint, code=error.code) from error


def _solve(
    blocks: list[Block], wheels: list[geometry.Wheel], belt_mm: float, clockwise: bool
) -> tuple[geometry.Path, shape.Eccentric]:
    """Swing the roller until the belt fits, and hold the answer against the stated notch."""
    block = _tensioner(blocks)
    x_mm, y_mm = block.point("stud")
    path, settings = _settled(block, wheels, belt_mm, clockwise)
    setting = settings[0]
    notch_deg, within_deg = block.number("notch_deg"), block.number("within_deg", above=0)
    if _apart_deg(setting.angle_deg, notch_deg) > within_deg:
        angles = " or ".join(f"{angle:.1f}°" for angle in sorted(s.angle_deg for s in settings))
        raise block.fault(
            "notch_deg",
            t(
                words.NOTCH_ELSEWHERE,
                angles=angles,
                notch_deg=f"{notch_deg:g}",
                within_deg=f"{within_deg:g}",
            ),
            t(words.NOTCH_ELSEWHERE_HINT),
            "notch-missed",
        )
    return path, {
        "x_um": _um(x_mm),
        "y_um": _um(y_mm),
        "pointer_mdeg": round(setting.angle_deg * 1000),
        "notch_mdeg": round(notch_deg * 1000),
    }


def _apart_deg(a: float, b: float) -> float:
    return abs((a - b + 180) % 360 - 180)


def _refuse_collisions(path: geometry.Path) -> None:
    for gap in geometry.gaps(path):
        if gap.gap_mm <= 0:
            raise DriveFault(
                ("wheels",),
                t(
                    words.WHEELS_OVERLAP,
                    wheel=gap.wheel,
                    other=gap.other,
                    gap_mm=f"{-gap.gap_mm:.1f}",
                ),
                hint=t(words.WHEELS_OVERLAP_HINT),
                code="collision",
            )
    for one, two in geometry.crossed_spans(path):
        raise DriveFault(
            ("wheels",),
            t(words.SPANS_CROSS, one=one, two=two),
            hint=t(words.SPANS_CROSS_HINT),
            code="crossed",
        )


def _wheel(
    block: Block,
    body: _Body,
    arc: geometry.Arc,
    eccentric: shape.Eccentric,
    pitch_mm: float | None,
) -> shape.DriveWheel:
    wheel = arc.wheel
    drawn: shape.DriveWheel = {
        "id": body["id"],
        "label": body["label"],
        "x_um": _um(wheel.x_mm),
        "y_um": _um(wheel.y_mm),
        "r_um": _um(wheel.radius_mm),
        "inside": wheel.inside,
    }
    if "teeth" in body:
        drawn["teeth"] = body["teeth"]
    if pitch_mm is not None and "teeth" in body:
        mesh = geometry.teeth_in_mesh(arc.wrap_deg, body["teeth"])
        if mesh < LEAST_TEETH_IN_MESH:
            raise block.fault(
                "teeth",
                t(
                    words.TOO_FEW_IN_MESH,
                    mesh=f"{mesh:.1f}",
                    wheel_id=wheel.id,
                    least_teeth_in_mesh=LEAST_TEETH_IN_MESH,
                ),
                t(words.TOO_FEW_IN_MESH_HINT),
                "few-teeth",
            )
    if block.has("mark_deg"):
        drawn["mark_mdeg"] = round(block.number("mark_deg") * 1000)
    if block.has("hole"):
        drawn["hole"] = _hole(block.block("hole"), wheel)
    if block.has("condition"):
        drawn["condition"] = block.name("condition")
    if block.has("stud"):
        drawn["eccentric"] = eccentric
    return drawn


def _hole(block: Block, wheel: geometry.Wheel) -> shape.Hole:
    x_mm, y_mm = block.point("at")
    apart_mm = math.hypot(x_mm - wheel.x_mm, y_mm - wheel.y_mm)
    if apart_mm >= wheel.radius_mm:
        raise block.fault(
            "at",
            t(
                words.HOLE_OUTSIDE_WHEEL,
                apart_mm=f"{apart_mm:.1f}",
                wheel_id=wheel.id,
                radius_mm=f"{wheel.radius_mm:.1f}",
            ),
            t(words.HOLE_OUTSIDE_WHEEL_HINT),
        )
    hole: shape.Hole = {
        "x_um": _um(x_mm),
        "y_um": _um(y_mm),
        "pin": block.name("pin"),
        "condition": block.name("condition"),
    }
    block.done()
    return hole


def _arc(arc: geometry.Arc) -> shape.Arc:
    return {
        "wheel": arc.wheel.id,
        "in": [_um(arc.into[0]), _um(arc.into[1])],
        "out": [_um(arc.out[0]), _um(arc.out[1])],
        "large": arc.wrap_deg > 180,
    }


def _order(block: Block, names: list[str]) -> list[str]:
    order = block.items("order")
    if sorted(map(str, order)) != sorted(names):
        raise block.fault(
            "order",
            t(words.ORDER_INCOMPLETE),
            t(words.ORDER_INCOMPLETE_HINT, names=", ".join(names)),
        )
    return [str(name) for name in order]


def _count(
    block: Block, path: geometry.Path, pitch_mm: float | None, marks: dict[str, float]
) -> shape.Count:
    start, end = (block.one_of(field, marks) for field in ("from", "to"))
    stated = block.whole("teeth", 1)
    block.done()
    if pitch_mm is None:
        raise block.fault("teeth", t(words.NO_TEETH_TO_COUNT), t(words.NO_TEETH_TO_COUNT_HINT))
    try:
        counted = geometry.teeth_between_marks(
            path, pitch_mm, (start, marks[start]), (end, marks[end])
        )
    except geometry.DriveError as error:
        raise DriveFault(block.place, str(error), hint=error.hint, code=error.code) from error
    if abs(counted - stated) > MOST_TEETH_OFF:
        raise block.fault(
            "teeth",
            f"from the mark of {start} to that of {end} the belt has {counted:.2f} teeth "
            f"along the tight side, stated are {stated}",
            t(words.CHECK_MARKS_HINT),
            "count-wrong",
        )
    return {"from": start, "to": end, "teeth": stated}


def _span(block: Block, path: geometry.Path, mass_kg_per_m: float) -> shape.Span:
    names = [arc.wheel.id for arc in path.arcs]
    start, end = block.one_of("from", names), block.one_of("to", names)
    try:
        length_mm = path.span_mm(start, end)
    except geometry.DriveError as error:
        raise block.fault("to", str(error), t(words.NAME_NEIGHBOURS_HINT)) from error
    tension_n = block.number("tension_n", above=0)
    within = block.number("within_percent", above=0)
    if within >= 100:
        raise block.fault(
            "within_percent",
            t(words.TOLERANCE_TOO_WIDE, within=f"{within:g}"),
            t(words.TOLERANCE_TOO_WIDE_HINT),
        )
    block.done()
    low, target, high = frequency_window_hz(tension_n, within, length_mm / 1000, mass_kg_per_m)
    return {
        "from": start,
        "to": end,
        "length_um": _um(length_mm),
        "low_hz": f"{low:.1f}",
        "high_hz": f"{high:.1f}",
        "target_hz": f"{target:.1f}",
    }
