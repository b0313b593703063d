"""The drive of a draft while its wheels are moved: how the belt fits, and what is still wrong."""

from collections.abc import Mapping
from typing import Annotated, Any, Final, TypedDict

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


class Fault(TypedDict):
    """What is wrong with a drive, and what to do."""

    message: str
    hint: str


class FittedWheel(TypedDict):
    """A wheel where it stands, x right and y up, with the belt's pitch line round it."""

    id: str
    x_um: int
    y_um: int
    radius_um: int
    into_um: Annotated[list[int], "Where the belt comes onto it, x and y."]
    out_um: Annotated[list[int], "Where it leaves it, x and y."]
    wrap_deg: Annotated[str, "A decimal."]
    teeth_in_mesh: Annotated[str | None, "A decimal; null for a smooth wheel."]


class Counted(TypedDict):
    """Teeth of the belt along the tight side, from the mark of one wheel to that of another."""

    start: str
    end: str
    teeth: Annotated[str, "A decimal."]


class Fitted(TypedDict):
    """How a belt fits. Without wheels nothing could be computed; `fault` says why."""

    length_mm: str
    wheels: list[FittedWheel]
    angles_deg: Annotated[list[str], "Of the roller round its stud."]
    counts: list[Counted]
    fault: Annotated[Fault | None, "What the drive states otherwise, or lacks."]


def fitted(text: str) -> Fitted:
    """Say how the belt fits in a source with a `drive`. What is wrong is part of the answer."""
    try:
        block = source.plain(source.read(text.encode()).root).get("drive")
    except SourceErrors as errors:
        return _nothing(_said(errors.problems[0].message, errors.problems[0].hint))
    if not isinstance(block, dict):
        return _nothing(_said(t(words.NO_DRIVE), t(words.NO_DRIVE_HINT)))
    wheels = block.get("wheels")
    if isinstance(wheels, list) and len(wheels) > MOST_WHEELS:
        said = t(words.TOO_MANY_WHEELS, most=MOST_WHEELS)
        return _nothing(_said(said, t(words.TOO_MANY_WHEELS_HINT)))
    try:
        found = solve.fit(block)
    except (DriveFault, geometry.DriveError) as fault:
        return _nothing(_said(str(fault), fault.hint))
    return Fitted(
        length_mm=f"{found.path.length_mm:.2f}",
        wheels=list(map(_wheel, found.path.arcs, block["wheels"])),
        angles_deg=[f"{angle:.1f}" for angle in found.angles_deg],
        counts=[
            Counted(start=start, end=end, teeth=f"{teeth:.2f}")
            for start, end, teeth in found.counts
        ],
        fault=_fault(block),
    )


def _fault(block: Mapping[str, Any]) -> Fault | None:
    for _, message, hint, _ in fields.faults(block):
        return _said(message, hint)
    try:
        solve.drive(block)
    except DriveFault as fault:
        return _said(str(fault), fault.hint)
    return None


def _wheel(arc: geometry.Arc, said: Mapping[str, Any]) -> FittedWheel:
    teeth = int(said["teeth"]) if "teeth" in said else None
    in_mesh = None if teeth is None else geometry.teeth_in_mesh(arc.wrap_deg, teeth)
    return FittedWheel(
        id=arc.wheel.id,
        x_um=round(arc.wheel.x_mm * _MM),
        y_um=round(arc.wheel.y_mm * _MM),
        radius_um=round(arc.wheel.radius_mm * _MM),
        into_um=[round(mm * _MM) for mm in arc.into],
        out_um=[round(mm * _MM) for mm in arc.out],
        wrap_deg=f"{arc.wrap_deg:.1f}",
        teeth_in_mesh=None if in_mesh is None else f"{in_mesh:.1f}",
    )


def _said(message: str, hint: str) -> Fault:
    return Fault(message=message, hint=hint)


def _nothing(fault: Fault) -> Fitted:
    return Fitted(length_mm="0", wheels=[], angles_deg=[], counts=[], fault=fault)
