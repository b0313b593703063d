"""
The beginning of a procedure: a source with its head, its drive, and two steps or the blocks chosen.

What `check` says of it is what is to be filled in. With two steps it compiles, and is far from
proved; with blocks it lacks the figures that they ask for.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from twoturns.procedure.blocks.begin import begun
from twoturns.procedure.blocks.block import Block
from twoturns.trade import drive
from twoturns.words import t
from twoturns.words.en.procedure.compile import skeleton as words

#: Above the bottom of the teeth, and below the back, of a common belt; an author measures his own.
PITCH_LINE_MM: Final = 3.9
BACK_MM: Final = 1.6
_WHEEL = re.compile(
    r"(?P<name>[a-z][a-z0-9_]*):(?P<x>-?[\d.]+),(?P<y>-?[\d.]+):"
    r"(?:(?P<teeth>[0-9]{1,4})t|(?P<diameter>[\d.]+)mm)(?::throw(?P<throw>[\d.]+))?(?P<inside>:in)?"
)
_BELT = re.compile(r"(?P<teeth>[0-9]{1,4})x(?P<pitch>[\d.]+)")


@dataclass(frozen=True)
class WheelAt:
    """
    A wheel as it was measured: mm, from the middle of the crankshaft, x right, y up.

    A toothed one has `teeth`, a smooth one `diameter_mm`; `throw_mm`: it is the tensioner, and x
    and y are its stud's. A smooth one runs on the belt's back unless it `is_inside`.
    """

    name: str
    x_mm: str
    y_mm: str
    teeth: str | None
    diameter_mm: str | None
    throw_mm: str | None
    is_inside: bool


@dataclass(frozen=True)
class Belt:
    """A toothed belt: how many teeth, and from one to the next."""

    teeth: str
    pitch_mm: str


def read_wheel(text: str) -> WheelAt:
    """
    Read `NAME:X,Y:20t`, `NAME:X,Y:60mm` or `NAME:X,Y:60mm:throw8`; `:in` at the end of a smooth one
    that the belt's teeth run on.

    Raises:
        ValueError: If it is none of these.
    """
    found = _WHEEL.fullmatch(text)
    if found is None:
        raise ValueError(t(words.NO_WHEEL, text=text))
    return WheelAt(
        found["name"],
        found["x"],
        found["y"],
        found["teeth"],
        found["diameter"],
        found["throw"],
        bool(found["teeth"] or found["inside"]),
    )


def read_belt(text: str) -> Belt:
    """
    Read `96x8`: teeth and pitch in mm.

    Raises:
        ValueError: If it is not so.
    """
    found = _BELT.fullmatch(text)
    if found is None:
        raise ValueError(t(words.NO_BELT, text=text))
    return Belt(found["teeth"], found["pitch"])


def notches_deg(belt: Belt, wheels: Sequence[WheelAt], *, clockwise: bool) -> list[float]:
    """
    Return the angles of the tensioner at which the belt fits, from its stud; 0 right, 90 up.

    Raises:
        DriveError: If it fits nowhere, or the wheels stand in each other's way.
        ValueError: If none or several are the tensioner.
    """
    tensioners = [wheel for wheel in wheels if wheel.throw_mm]
    if len(tensioners) != 1:
        raise ValueError(t(words.NOT_ONE_TENSIONER, n=len(tensioners)))
    stud = tensioners[0]
    turned = drive.Eccentric(
        stud.name, float(stud.x_mm), float(stud.y_mm), float(stud.throw_mm or 0)
    )
    bodies = [
        drive.Wheel(
            wheel.name,
            float(wheel.x_mm),
            float(wheel.y_mm),
            _radius_mm(wheel, belt),
            wheel.is_inside,
        )
        for wheel in wheels
    ]
    length_mm = int(belt.teeth) * float(belt.pitch_mm)
    settings = drive.eccentric_settings(bodies, turned, length_mm, clockwise=clockwise)
    return [setting.angle_deg for setting in settings]


def _radius_mm(wheel: WheelAt, belt: Belt) -> float:
    if wheel.teeth:
        return drive.pitch_radius_mm(int(wheel.teeth), float(belt.pitch_mm))
    return float(wheel.diameter_mm or 0) / 2 + (PITCH_LINE_MM if wheel.is_inside else BACK_MM)


def skeleton(
    name: str,
    engine_code: str,
    belt: Belt,
    wheels: Sequence[WheelAt],
    blocks: Sequence[Block] = (),
    *,
    clockwise: bool,
) -> str:
    """
    Return the source of a procedure that has just been begun.

    Args:
        name: Its id.
        engine_code: The engine's code.
        belt: The belt.
        wheels: In the order the belt runs, the crankshaft's first.
        blocks: What is the same on every car, as it was chosen. Without one it has two steps.
        clockwise: How the crankshaft turns, seen from the belt.

    Raises:
        DriveError: As `notches_deg`.
        ValueError: As `notches_deg`.
    """
    notches = notches_deg(belt, wheels, clockwise=clockwise)
    return t(
        words.SOURCE,
        head=t(words.HEAD, id=name, engine=engine_code),
        work=begun(blocks, {"engine_code": engine_code}) if blocks else t(words.WORK),
        drive=_drive(belt, wheels, notches, clockwise=clockwise),
    )


def _drive(
    belt: Belt, wheels: Sequence[WheelAt], notches: Sequence[float], *, clockwise: bool
) -> str:
    return t(
        words.DRIVE,
        running="clockwise" if clockwise else "anticlockwise",
        teeth=belt.teeth,
        pitch=belt.pitch_mm,
        back=BACK_MM,
        pitch_line=PITCH_LINE_MM,
        wheels="\n".join(_wheel(wheel, notches) for wheel in wheels),
        order=", ".join(wheel.name for wheel in (wheels[0], *reversed(wheels[1:]))),
        last=wheels[-1].name,
        first=wheels[0].name,
        other=f"{notches[-1]:.1f}",
        a="{",
        b="}",
    )


def _wheel(wheel: WheelAt, notches: Sequence[float]) -> str:
    size = f"teeth: {wheel.teeth}" if wheel.teeth else f"diameter_mm: {wheel.diameter_mm}"
    place = f"[{wheel.x_mm}, {wheel.y_mm}]"
    where = f"at: {place}"
    if wheel.throw_mm:
        where = (
            f"stud: {place}, eccentric_mm: {wheel.throw_mm}, "
            f"notch_deg: {notches[0]:.1f}, within_deg: 3"
        )
    side = "inside" if wheel.is_inside else "outside"
    label = wheel.name.replace("_", " ").upper()
    return f"    - {{id: {wheel.name}, label: {label}, side: {side}, {size}, {where}}}"
