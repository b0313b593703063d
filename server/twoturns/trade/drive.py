"""
The path of a toothed belt round wheels inside and outside its loop, by directed circles.

    DriveError
    ├── NoTangent       two wheels stand too close for a straight span between them
    ├── NotRound        the belt does not go once round: it misses a wheel, or folds
    ├── OutOfReach      no angle of the eccentric makes the path as long as the belt
    └── MarkOffBelt     a timing mark lies where the belt does not touch its wheel

A belt is a directed curve. Each wheel is turned anticlockwise (+1, it lies to the left of
travel) or clockwise (-1); with that sign on its radius one formula serves every pair of wheels,
and the angles of wrap add up with their signs to one turn. That sum is checked, not assumed.

Lengths in mm, x to the right, y up; angles in degrees anticlockwise from the x axis.
Errors of the numbers: below 1e-9 mm. They say nothing about the drawing they came from.

Sources: S1, Shigley, Mechanical Engineering Design, chapter 17 (open belt). S2, ISO 5296: pitch
length = teeth x pitch, pitch diameter = teeth x pitch / pi; ISO 21342:2019 has the drives of cars.
S3, a belt maker's engineering note, 2012: 6 teeth in mesh and 60 degrees of wrap. The signed form:
own derivation, tested against a convex hull (all wheels inside) and a constrained shortest loop
(wheels outside).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from twoturns.words import t
from twoturns.words.en.trade import drive as words

Point = tuple[float, float]

# Chosen, half a degree: a belt that fits lies between two samples, or at the end of travel.
_STEPS = 720
_BISECTIONS = 60  # chosen: below the last bit of a double after a start of half a degree


class DriveError(ValueError):
    """A drive that cannot be: `code` is stable, `hint` says what to look at."""

    code = "drive"
    hint = t(words.DRIVE_ERROR_HINT)


class NoTangent(DriveError):
    """Two wheels stand too close for a straight span between them."""

    code = "no-tangent"


class NotRound(DriveError):
    """The belt does not go once round."""

    code = "not-round"
    hint = t(words.NOT_ROUND_HINT)


class OutOfReach(DriveError):
    """No angle of the eccentric makes the path as long as the belt."""

    code = "out-of-reach"
    hint = t(words.BELT_DOES_NOT_FIT_HINT)


class MarkOffBelt(DriveError):
    """A timing mark lies where the belt does not touch its wheel."""

    code = "mark-off-belt"
    hint = t(words.MARK_OFF_BELT_HINT)


@dataclass(frozen=True)
class Wheel:
    """A wheel at its place. `radius_mm` is that of the belt's pitch line round it."""

    id: str
    x_mm: float
    y_mm: float
    radius_mm: float
    inside: bool = True


@dataclass(frozen=True)
class Arc:
    """Where the belt lies on a wheel: from its incoming to its outgoing tangent point."""

    wheel: Wheel
    into: Point
    out: Point
    wrap_deg: float
    starts_mm: float  # place of `into` along the belt, from the first wheel's own `into`

    @property
    def length_mm(self) -> float:
        """Length of belt that lies on the wheel, mm."""
        return self.wheel.radius_mm * math.radians(self.wrap_deg)


@dataclass(frozen=True)
class Path:
    """A closed belt: arc i lies on wheel i, span i leads from wheel i to the next."""

    arcs: tuple[Arc, ...]
    spans_mm: tuple[float, ...]
    clockwise: bool

    @property
    def length_mm(self) -> float:
        """Length of the whole belt at its pitch line, mm."""
        return math.fsum(self.spans_mm) + math.fsum(arc.length_mm for arc in self.arcs)

    def arc(self, wheel: str) -> Arc:
        """Return the arc on a wheel, by its name. Raises StopIteration where there is none."""
        return next(arc for arc in self.arcs if arc.wheel.id == wheel)

    def span_mm(self, start: str, end: str) -> float:
        """Free length between the tangent points of two wheels that follow each other."""
        names = [arc.wheel.id for arc in self.arcs]
        index = names.index(start)
        if names[(index + 1) % len(names)] != end:
            raise DriveError(t(words.NO_SUCH_SPAN, start=start, end=end))
        return self.spans_mm[index]


@dataclass(frozen=True)
class Eccentric:
    """The stud a roller swings round, and how far its middle stands from it."""

    wheel: str
    stud_x_mm: float
    stud_y_mm: float
    throw_mm: float


@dataclass(frozen=True)
class Setting:
    """One angle of the eccentric, stud to middle of the roller, at which the belt fits."""

    angle_deg: float
    slope_mm_per_deg: float


def pitch_radius_mm(teeth: int, pitch_mm: float) -> float:
    """Radius of the pitch line round a toothed wheel, mm. S2."""
    return teeth * pitch_mm / math.tau


def degrees_per_tooth(teeth: int) -> float:
    """Turn of a wheel that one of its own teeth is worth. One belt tooth at a cam of twice the
    crank's teeth is half the crank's degrees."""
    return 360 / teeth


def teeth_in_mesh(wrap_deg: float, teeth: int) -> float:
    """Teeth of a wheel that the belt covers; fractions count as the makers count them."""
    return teeth * wrap_deg / 360


def turns_until_back(crank_teeth: int, *other_teeth: int) -> int:
    """
    Turns of the crank until these wheels of one toothed belt stand where they stood, all together.

    Every wheel lets as many teeth pass as the crank: all are back after the least common multiple
    of their teeth. A mark or a locking hole is back with its wheel. Source: "Application of the LCM
    to gear networks", proofindex.com.

    >>> turns_until_back(24, 48), turns_until_back(24, 36), turns_until_back(24, 48, 36)
    (2, 3, 6)
    """
    return math.lcm(crank_teeth, *other_teeth) // crank_teeth


def turns_until_marks_meet(belt_teeth: int, crank_teeth: int, *other_teeth: int) -> int:
    """
    Turns of the crank until the belt's paint marks lie on every wheel's mark again.

    >>> turns_until_marks_meet(140, 24), turns_until_marks_meet(140, 24, 48)
    (35, 70)
    """
    return turns_until_back(crank_teeth, belt_teeth, *other_teeth)


def belt_path(wheels: Sequence[Wheel], *, clockwise: bool = True) -> Path:
    """
    Lay a belt round wheels in belt order.

    Args:
        wheels: At least two, in the order the belt meets them. Radii of the pitch line, mm.
        clockwise: How the belt runs, as seen; inside wheels turn that way, outside wheels back.

    Raises:
        NoTangent: Two neighbours are too close.
        NotRound: The wraps do not add up to one turn.
    """
    turn = -1 if clockwise else 1
    signs = [turn if wheel.inside else -turn for wheel in wheels]
    pairs = list(zip(wheels, [*wheels[1:], wheels[0]], strict=True))
    ahead = [*signs[1:], signs[0]]
    legs = [_leg(a, sa, b, sb) for (a, b), sa, sb in zip(pairs, signs, ahead, strict=True)]
    arcs: list[Arc] = []
    starts_mm = 0.0
    for index, (wheel, sign) in enumerate(zip(wheels, signs, strict=True)):
        (arrives, _), (leaves, span_mm) = legs[index - 1], legs[index]
        wrap = (sign * (leaves - arrives)) % math.tau
        into, out = _tangent_point(wheel, sign, arrives), _tangent_point(wheel, sign, leaves)
        arcs.append(Arc(wheel, into, out, math.degrees(wrap), starts_mm))
        starts_mm += wheel.radius_mm * wrap + span_mm
    turned = math.fsum(sign * arc.wrap_deg for sign, arc in zip(signs, arcs, strict=True))
    if abs(turned - turn * 360) > 1e-6:
        raise NotRound(t(words.TURNS_AMISS, turned=f"{turned:.1f}", turn=turn * 360))
    return Path(tuple(arcs), tuple(span for _, span in legs), clockwise)


def _leg(a: Wheel, sign_a: int, b: Wheel, sign_b: int) -> tuple[float, float]:
    """Direction (rad) and length (mm) of the straight span from wheel a to wheel b."""
    dx, dy = b.x_mm - a.x_mm, b.y_mm - a.y_mm
    offset = sign_a * a.radius_mm - sign_b * b.radius_mm
    square = dx * dx + dy * dy - offset * offset
    if square <= 0:
        raise NoTangent(t(words.WHEELS_TOUCH, a_id=a.id, b_id=b.id))
    span_mm = math.sqrt(square)
    return math.atan2(dy, dx) + math.atan2(offset, span_mm), span_mm


def _tangent_point(wheel: Wheel, sign: int, direction: float) -> Point:
    reach = sign * wheel.radius_mm
    return (
        wheel.x_mm + reach * math.sin(direction),
        wheel.y_mm - reach * math.cos(direction),
    )


def at_angle(wheels: Sequence[Wheel], eccentric: Eccentric, angle_deg: float) -> list[Wheel]:
    """The same wheels with the roller swung to this angle."""
    angle = math.radians(angle_deg)
    x_mm = eccentric.stud_x_mm + eccentric.throw_mm * math.cos(angle)
    y_mm = eccentric.stud_y_mm + eccentric.throw_mm * math.sin(angle)
    return [
        replace(wheel, x_mm=x_mm, y_mm=y_mm) if wheel.id == eccentric.wheel else wheel
        for wheel in wheels
    ]


def _length_mm(
    wheels: Sequence[Wheel], eccentric: Eccentric, angle_deg: float, clockwise: bool
) -> float:
    """Path length at an angle; nan where the roller stands in another wheel or off the belt."""
    try:
        return belt_path(at_angle(wheels, eccentric, angle_deg), clockwise=clockwise).length_mm
    except (NoTangent, NotRound):
        return math.nan


def eccentric_settings(
    wheels: Sequence[Wheel], eccentric: Eccentric, belt_mm: float, *, clockwise: bool = True
) -> list[Setting]:
    """
    Every angle at which a belt fits, in [0, 360): normally two, one on each side of the stud.

    Both are needed: the far one is the fault of turning the key the wrong way. A small slope
    means the end of travel, where turning no longer tightens.

    Raises:
        OutOfReach: There is none; the message names the nearest lengths.
    """
    angles = [step * 360 / _STEPS for step in range(_STEPS + 1)]
    gaps = [_length_mm(wheels, eccentric, angle, clockwise) - belt_mm for angle in angles]
    found = [
        _bisect(wheels, eccentric, belt_mm, clockwise, low, gap_low)
        for (low, gap_low), (_, gap_high) in itertools.pairwise(zip(angles, gaps, strict=True))
        if (gap_low < 0) != (gap_high < 0) and not math.isnan(gap_low + gap_high)
    ]
    if not found:
        low_mm, high_mm = reach_mm(wheels, eccentric, clockwise=clockwise)
        raise OutOfReach(
            t(
                words.BELT_DOES_NOT_FIT,
                belt_mm=f"{belt_mm:.1f}",
                low_mm=f"{low_mm:.1f}",
                high_mm=f"{high_mm:.1f}",
            )
        )
    return [_setting(wheels, eccentric, angle, clockwise) for angle in found]


def _bisect(
    wheels: Sequence[Wheel],
    eccentric: Eccentric,
    belt_mm: float,
    clockwise: bool,
    low: float,
    gap_low: float,
) -> float:
    high = low + 360 / _STEPS
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        if (_length_mm(wheels, eccentric, middle, clockwise) < belt_mm) == (gap_low < 0):
            low = middle
        else:
            high = middle
    return (low + high) / 2 % 360


def _setting(
    wheels: Sequence[Wheel], eccentric: Eccentric, angle_deg: float, clockwise: bool
) -> Setting:
    step = 1e-3  # central difference: error below 1e-9 mm/° on any drive that fits a car
    ahead = _length_mm(wheels, eccentric, angle_deg + step, clockwise)
    behind = _length_mm(wheels, eccentric, angle_deg - step, clockwise)
    return Setting(angle_deg, (ahead - behind) / (2 * step))


def reach_mm(
    wheels: Sequence[Wheel], eccentric: Eccentric, *, clockwise: bool = True
) -> tuple[float, float]:
    """
    Shortest and longest path the eccentric can make, mm; angles without a path are left out.

    Raises:
        NotRound: No angle makes a path at all.
    """
    lengths = [
        (length, step * 360 / _STEPS)
        for step in range(_STEPS)
        if not math.isnan(length := _length_mm(wheels, eccentric, step * 360 / _STEPS, clockwise))
    ]
    if not lengths:
        raise NotRound(t(words.NO_ANGLE_FITS))
    return (
        _extreme(wheels, eccentric, clockwise, min(lengths), 1),
        _extreme(wheels, eccentric, clockwise, max(lengths), -1),
    )


def _extreme(
    wheels: Sequence[Wheel],
    eccentric: Eccentric,
    clockwise: bool,
    start: tuple[float, float],
    sign: int,
) -> float:
    """Refine a sampled extreme by ternary search inside its two neighbouring samples."""
    best_mm, angle = start
    low, high = angle - 360 / _STEPS, angle + 360 / _STEPS
    for _ in range(_BISECTIONS):
        left, right = low + (high - low) / 3, high - (high - low) / 3
        at_left = _length_mm(wheels, eccentric, left, clockwise)
        at_right = _length_mm(wheels, eccentric, right, clockwise)
        if math.isnan(at_left + at_right):
            break  # the path ends here: the sample beside the end stands
        best_mm = sign * min(sign * best_mm, sign * at_left, sign * at_right)
        low, high = (low, right) if sign * at_left < sign * at_right else (left, high)
    return best_mm


def belts_that_fit(
    wheels: Sequence[Wheel], eccentric: Eccentric, pitch_mm: float, *, clockwise: bool = True
) -> list[int]:
    """
    Every tooth count the eccentric can take up. More than one: the pointer alone cannot tell a
    wrong belt from the right one, so the teeth must be counted too.
    """
    low_mm, high_mm = reach_mm(wheels, eccentric, clockwise=clockwise)
    return list(range(math.ceil(low_mm / pitch_mm), math.floor(high_mm / pitch_mm) + 1))


def place_of_mark_mm(path: Path, wheel: str, mark_deg: float) -> float:
    """
    Where a wheel's mark touches the belt, mm along the run of the belt from the first wheel.

    Raises:
        MarkOffBelt: The belt does not lie on the wheel at that angle.
    """
    arc = path.arc(wheel)
    turn = -1 if path.clockwise == arc.wheel.inside else 1
    starts = math.degrees(math.atan2(arc.into[1] - arc.wheel.y_mm, arc.into[0] - arc.wheel.x_mm))
    along_deg = (turn * (mark_deg - starts)) % 360
    if along_deg > arc.wrap_deg:
        raise MarkOffBelt(t(words.MARK_OFF_BELT, wheel=wheel, mark_deg=f"{mark_deg:g}"))
    return arc.starts_mm + arc.wheel.radius_mm * math.radians(along_deg)


def teeth_between_marks(
    path: Path, pitch_mm: float, start: tuple[str, float], end: tuple[str, float]
) -> float:
    """
    Belt teeth from one (wheel, mark angle) to another along the tight side.

    The tight side is the one the driving wheel pulls in, so the count goes against the run of
    the belt. A whole number within a small error, or the marks cannot all meet.
    """
    start_mm, end_mm = place_of_mark_mm(path, *start), place_of_mark_mm(path, *end)
    return (start_mm - end_mm) % path.length_mm / pitch_mm


@dataclass(frozen=True)
class Gap:
    """Clear distance between a wheel's pitch line and something else, mm; negative: they hit."""

    wheel: str
    other: str
    gap_mm: float


def gaps(path: Path) -> list[Gap]:
    """Every wheel against every other wheel and against each span that does not touch it."""
    arcs, count = path.arcs, len(path.arcs)
    found = []
    for a, b in itertools.combinations([arc.wheel for arc in arcs], 2):
        apart = math.hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm)
        found.append(Gap(a.id, b.id, apart - a.radius_mm - b.radius_mm))
    for index, arc in enumerate(arcs):
        after = arcs[(index + 1) % count]
        name = t(words.SPAN_FROM_TO, one=arc.wheel.id, other=after.wheel.id)
        for wheel in (other.wheel for other in arcs):
            if wheel.id not in (arc.wheel.id, after.wheel.id):
                apart = _distance((wheel.x_mm, wheel.y_mm), arc.out, after.into)
                found.append(Gap(wheel.id, name, apart - wheel.radius_mm))
    return found


def _distance(point: Point, start: Point, end: Point) -> float:
    dx, dy = end[0] - start[0], end[1] - start[1]
    along = ((point[0] - start[0]) * dx + (point[1] - start[1]) * dy) / (dx * dx + dy * dy)
    along = min(1.0, max(0.0, along))
    return math.hypot(point[0] - start[0] - along * dx, point[1] - start[1] - along * dy)


def crossed_spans(path: Path) -> list[tuple[str, str]]:
    """Pairs of spans that cut each other, named by the wheel they leave."""
    arcs, count = path.arcs, len(path.arcs)
    spans = [
        (arc.wheel.id, arc.out, arcs[(index + 1) % count].into) for index, arc in enumerate(arcs)
    ]
    return [
        (one[0], two[0])
        for one, two in itertools.combinations(spans, 2)
        if _cross(one[1], one[2], two[1], two[2])
    ]


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
