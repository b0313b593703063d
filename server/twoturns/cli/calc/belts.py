"""`twoturns calc belt` and `teeth`: the path of a belt, from where its wheels stand."""

import itertools
import math
import re
from typing import Final

import click

from twoturns.cli.calc.answer import Answer, calculation, count, figure, number
from twoturns.trade import drive
from twoturns.words import t
from twoturns.words.en.cli.calc import belts as words

# Of a wheel that drives or is driven: S3 of `twoturns.trade.drive`.
LEAST_IN_MESH: Final = 6
LEAST_WRAP_DEG: Final = 60
# Of the greatest slope that a throw can have: below it, turning hardly tightens.
_END_OF_TRAVEL: Final = 0.2
_WHEEL = re.compile(
    r"(?P<name>\w+):(?P<x>-?[\d.]+),(?P<y>-?[\d.]+):"
    r"(?:(?P<teeth>\d+)t|(?P<radius>[\d.]+)mm)(?P<out>:out)?",
    re.IGNORECASE,
)
_ECCENTRIC = re.compile(r"(?P<name>\w+):(?P<throw>[\d.]+)")


@calculation("belt")
@click.argument("wheels", nargs=-1, required=True)
@click.option("--pitch-mm", type=number, required=True, help="Of the belt's teeth.")
@click.option("--belt-teeth", type=count, help="The belt's; needs --eccentric.")
@click.option("--eccentric", help="NAME:THROW in mm: the wheel whose place is its stud's.")
@click.option(
    "--mark",
    "marks",
    multiple=True,
    help="NAME:DEGREES, teeth counted from the first against the run.",
)
@click.option("--anticlockwise", is_flag=True, help="How the belt runs, seen from its end.")
def belt(
    wheels: tuple[str, ...],
    pitch_mm: float,
    belt_teeth: int | None,
    eccentric: str | None,
    marks: tuple[str, ...],
    anticlockwise: bool,
) -> Answer:
    """
    The path round WHEELS: spans, wrap, teeth in mesh; with an eccentric its angles and belts.

    A wheel is NAME:X,Y:SIZE, in mm, in the order the belt meets them; SIZE is its teeth as 22t or
    the radius of the belt's pitch line as 30mm. `:out` for a wheel on the belt's back.

    Example:

    \b
        twoturns calc belt crank:0,0:22t idler:95,60:30mm:out cam:120,190:44t \\
            exhaust:-30,205:44t roller:-66,95:30mm --pitch-mm 8 \\
            --belt-teeth 111 --eccentric roller:6 --anticlockwise
    """
    parsed, teeth = _wheels(wheels, pitch_mm)
    clockwise = not anticlockwise
    answer = Answer()
    if (belt_teeth is None) != (eccentric is None):
        raise ValueError(t(words.BELT_NEEDS_ECCENTRIC))
    if belt_teeth is not None and eccentric is not None:
        if belt_teeth < 1:
            raise ValueError(t(words.TEETH_FROM_ONE))
        stud = _eccentric(eccentric, parsed)
        settings = drive.eccentric_settings(
            parsed, stud, belt_teeth * pitch_mm, clockwise=clockwise
        )
        for at, each in enumerate(settings, start=1):
            answer.add(f"angle_{at}_deg", t(words.ECCENTRIC_ANGLE, at=at), each.angle_deg, "°")
            answer.add(f"slope_{at}", "  there", each.slope_mm_per_deg, t(words.MM_PER_DEGREE))
            if abs(each.slope_mm_per_deg) < _END_OF_TRAVEL * _most_slope(stud):
                answer.notes.append(t(words.ANGLE_AT_TRAVEL_END, at=at))
        fitting = drive.belts_that_fit(parsed, stud, pitch_mm, clockwise=clockwise)
        answer.add("belts_that_fit", t(words.BELTS_FIT), fitting, "teeth")
        if len(fitting) > 1:
            answer.notes.append(t(words.BELTS_LOOK_ALIKE))
        parsed = drive.at_angle(parsed, stud, settings[0].angle_deg)
        answer.notes.append(t(words.FIGURES_AT_ANGLE_1))
    path = drive.belt_path(parsed, clockwise=clockwise)
    _refuse_overlap(parsed)
    answer.add("length_mm", "length", path.length_mm, "mm")
    _arcs(answer, path, teeth)
    placed = [_mark(each, parsed) for each in marks]
    if len(placed) == 1:
        raise ValueError(t(words.NEEDS_TWO_MARKS))
    for mark in placed[1:]:
        counted = drive.teeth_between_marks(path, pitch_mm, placed[0], mark)
        answer.add(f"teeth_{mark[0]}", f"marks: {placed[0][0]} to {mark[0]}", counted, "teeth")
    return answer


def _refuse_overlap(wheels: list[drive.Wheel]) -> None:
    for one, other in itertools.combinations(wheels, 2):
        apart = math.hypot(one.x_mm - other.x_mm, one.y_mm - other.y_mm)
        if apart < one.radius_mm + other.radius_mm:
            raise ValueError(
                t(
                    words.WHEELS_OVERLAP,
                    one_id=one.id,
                    other_id=other.id,
                    apart=f"{apart:.1f}",
                    radius_mm=f"{one.radius_mm + other.radius_mm:.1f}",
                )
            )


def _mark(text: str, wheels: list[drive.Wheel]) -> tuple[str, float]:
    name, _, degrees = text.partition(":")
    if name not in {each.id for each in wheels}:
        raise ValueError(t(words.NOT_A_MARK, text=f"{text!r}"))
    return name, figure(degrees)


def _arcs(answer: Answer, path: drive.Path, teeth: dict[str, int]) -> None:
    for arc, span_mm in zip(path.arcs, path.spans_mm, strict=True):
        name = arc.wheel.id
        answer.add(f"{name}_wrap_deg", f"{name}: wrap", arc.wrap_deg, "°")
        if name in teeth:
            mesh = drive.teeth_in_mesh(arc.wrap_deg, teeth[name])
            answer.add(f"{name}_in_mesh", t(words.TEETH_IN_MESH), mesh)
            if mesh < LEAST_IN_MESH:
                answer.accepted = False
                answer.notes.append(
                    t(words.FEW_TEETH_IN_MESH, name=name, least_in_mesh=LEAST_IN_MESH)
                )
            if arc.wrap_deg < LEAST_WRAP_DEG:
                answer.accepted = False
                answer.notes.append(t(words.SMALL_WRAP, name=name, least_wrap_deg=LEAST_WRAP_DEG))
        answer.add(f"{name}_span_mm", t(words.SPAN_BEHIND), span_mm, "mm")


def _wheels(texts: tuple[str, ...], pitch_mm: float) -> tuple[list[drive.Wheel], dict[str, int]]:
    if pitch_mm <= 0:
        raise ValueError(t(words.PITCH_NOT_POSITIVE, pitch_mm=f"{pitch_mm!r}"))
    wheels, teeth = [], {}
    for text in texts:
        match = _WHEEL.fullmatch(text)
        if match is None:
            raise ValueError(t(words.NOT_A_WHEEL, text=f"{text!r}"))
        if match["teeth"]:
            teeth[match["name"]] = int(match["teeth"])
            radius = drive.pitch_radius_mm(int(match["teeth"]), pitch_mm)
        else:
            radius = figure(match["radius"])
        if radius <= 0:
            raise ValueError(t(words.WHEEL_SIZE_NOT_POSITIVE, text=f"{text!r}"))
        x, y = figure(match["x"]), figure(match["y"])
        wheels.append(drive.Wheel(match["name"], x, y, radius, inside=match["out"] is None))
    if len({wheel.id for wheel in wheels}) < len(wheels) or len(wheels) < 2:
        raise ValueError(t(words.NEEDS_TWO_WHEELS))
    return wheels, teeth


def _eccentric(text: str, wheels: list[drive.Wheel]) -> drive.Eccentric:
    match = _ECCENTRIC.fullmatch(text)
    stud = next((each for each in wheels if match and each.id == match["name"]), None)
    if match is None or stud is None:
        raise ValueError(t(words.NOT_AN_ECCENTRIC, text=f"{text!r}"))
    return drive.Eccentric(stud.id, stud.x_mm, stud.y_mm, figure(match["throw"]))


def _most_slope(stud: drive.Eccentric) -> float:
    """Millimetres a degree where both strands run straight along the throw."""
    return 2 * stud.throw_mm * math.radians(1)


@calculation("teeth")
@click.argument("belt_teeth", type=count)
@click.argument("crank_teeth", type=count)
@click.argument("other_teeth", type=count, nargs=-1)
def teeth(belt_teeth: int, crank_teeth: int, other_teeth: tuple[int, ...]) -> Answer:
    """
    What one tooth is worth, and after how many turns of the crank marks and locking holes are back.

    The belt's own paint marks take longer. OTHER_TEETH are those of wheels in the same belt.

    Example:

    \b
        twoturns calc teeth 140 24 48 48
    """
    if min(belt_teeth, crank_teeth, *other_teeth) < 1:
        raise ValueError(t(words.TEETH_FROM_ONE))
    turns = drive.turns_until_marks_meet(belt_teeth, crank_teeth, *other_teeth)
    answer = Answer()
    answer.add("crank_deg", t(words.TOOTH_AT_CRANK), drive.degrees_per_tooth(crank_teeth), "°")
    for at, each in enumerate(other_teeth, start=1):
        answer.add(f"other_{at}_deg", f"at {each} teeth", drive.degrees_per_tooth(each), "°")
    _add_returns(answer, crank_teeth, other_teeth)
    answer.add("turns_until_marks_meet", t(words.MARKS_MEET_AFTER), turns, t(words.TURNS_OF_CRANK))
    if turns > 2:
        answer.notes.append(t(words.PAINT_MARKS_APART))
    return answer


def _add_returns(answer: Answer, crank_teeth: int, other_teeth: tuple[int, ...]) -> None:
    """When each wheel's mark and hole are back, when all are, and which are not after two turns."""
    for at, each in enumerate(other_teeth, start=1):
        turns = drive.turns_until_back(crank_teeth, each)
        says = t(words.WHEEL_IS_BACK_EVERY, teeth=each)
        answer.add(f"other_{at}_back_turns", says, turns, t(words.TURNS_OF_CRANK))
        if 2 % turns:
            answer.notes.append(t(words.NOT_BACK_AFTER_TWO_TURNS, teeth=each))
    together = drive.turns_until_back(crank_teeth, *other_teeth)
    answer.add("all_back_turns", t(words.ALL_ARE_BACK_EVERY), together, t(words.TURNS_OF_CRANK))
