"""The drive of a draft while its wheels are moved: how the belt fits, and what is still wrong."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from twoturns.procedure.drive import fields, solve
from twoturns.procedure.drive.block import DriveFault
from twoturns.procedure.errors import SourceErrors
from twoturns.procedure.language import source
from twoturns.trade import drive as geometry
from twoturns.words import t
from twoturns.words.en.store import draft_drive as words

#: More than any engine has; the solver's work grows with the square of it.
MOST_WHEELS: Final = 24
_MM: Final = 1000  # micrometres


@dataclass(frozen=True)
class Fault:
    """What is wrong with a drive, and what to do."""

    message: str
    hint: str


@dataclass(frozen=True)
class FittedWheel:
    """
    A wheel where it stands, x right and y up, with the belt's pitch line round it.

    Args:
        into_um: Where the belt comes onto it, x and y.
        out_um: Where it leaves it, x and y.
        wrap_deg: A decimal.
        teeth_in_mesh: A decimal; None for a smooth wheel.
    """

    id: str
    x_um: int
    y_um: int
    radius_um: int
    into_um: tuple[int, int]
    out_um: tuple[int, int]
    wrap_deg: str
    teeth_in_mesh: str | None


@dataclass(frozen=True)
class Counted:
    """Teeth of the belt (a decimal) along the tight side, from one wheel's mark to another's."""

    start: str
    end: str
    teeth: str


@dataclass(frozen=True)
class Fitted:
    """
    How the belt fits. `angles_deg`: those of the roller round its stud, decimals. `fault`: what the
    drive states otherwise, or lacks; without `wheels` nothing could be computed.
    """

    length_mm: str
    wheels: tuple[FittedWheel, ...]
    angles_deg: tuple[str, ...]
    counts: tuple[Counted, ...]
    fault: Fault | None


def fitted(text: str) -> Fitted:
    """Say how the belt fits in a source with a `drive`. What is wrong is part of the answer."""
    try:
        block = source.plain(source.read(text.encode()).root).get("drive")
    except SourceErrors as errors:
        return _nothing(Fault(errors.problems[0].message, errors.problems[0].hint))
    if not isinstance(block, dict):
        return _nothing(Fault(t(words.NO_DRIVE), t(words.NO_DRIVE_HINT)))
    wheels = block.get("wheels")
    if isinstance(wheels, list) and len(wheels) > MOST_WHEELS:
        said = t(words.TOO_MANY_WHEELS, most=MOST_WHEELS)
        return _nothing(Fault(said, t(words.TOO_MANY_WHEELS_HINT)))
    try:
        found = solve.fit(block)
    except (DriveFault, geometry.DriveError) as fault:
        return _nothing(Fault(str(fault), fault.hint))
    return Fitted(
        length_mm=f"{found.path.length_mm:.2f}",
        wheels=tuple(map(_wheel, found.path.arcs, block["wheels"])),
        angles_deg=tuple(f"{angle:.1f}" for angle in found.angles_deg),
        counts=tuple(Counted(start, end, f"{teeth:.2f}") for start, end, teeth in found.counts),
        fault=_fault(block),
    )


def _fault(block: Mapping[str, Any]) -> Fault | None:
    for _, message, hint, _ in fields.faults(block):
        return Fault(message, hint)
    try:
        solve.drive(block)
    except DriveFault as fault:
        return Fault(str(fault), fault.hint)
    return None


def _wheel(arc: geometry.Arc, said: Mapping[str, Any]) -> FittedWheel:
    teeth = int(said["teeth"]) if "teeth" in said else None
    in_mesh = None if teeth is None else geometry.teeth_in_mesh(arc.wrap_deg, teeth)
    return FittedWheel(
        id=arc.wheel.id,
        x_um=round(arc.wheel.x_mm * _MM),
        y_um=round(arc.wheel.y_mm * _MM),
        radius_um=round(arc.wheel.radius_mm * _MM),
        into_um=(round(arc.into[0] * _MM), round(arc.into[1] * _MM)),
        out_um=(round(arc.out[0] * _MM), round(arc.out[1] * _MM)),
        wrap_deg=f"{arc.wrap_deg:.1f}",
        teeth_in_mesh=None if in_mesh is None else f"{in_mesh:.1f}",
    )


def _nothing(fault: Fault) -> Fitted:
    return Fitted("0", (), (), (), fault)
