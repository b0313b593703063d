"""
How far a tool was turned, from the rates of the phone's gyro while the phone rode on it.

A still second before the turn gives each axis its zero. From then on the rates are added up as a
rotation (quaternion, mid-point rule), and the rotation is split into a twist about the net axis and
a swing, which is the hand's wobble and does not count. Turns beyond one are followed as they come.

What remains is the sensor's scale: 1 % is typical, which at 90 degrees is 0.9. One turn of 360
degrees against the edge of a table takes it away. Tolerances (95 %, from simulation): 4 degrees at
90 without that, 2 with it; a sensor that is 3 % off needs 6. Where captures add up the chance part
grows with the root of their number, the scale's part with the whole angle.

Sources: S1, W3C Device Orientation and Motion: rates in degrees per second about the phone's x (to
the right), y (up) and z (out of the screen), right-handed, limited to 0.1. S2, arXiv 2103.11097: a
turn of 360 degrees by hand as a reference for scale. S3, swing and twist: Dobrowolski,
arXiv 1506.05481. Own simulation: tests/bench/bench_instruments.py. The twin is
`client/src/instruments/turn.ts`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from twoturns.instruments import sheet as sheets
from twoturns.instruments.refusal import Refusal, rounded
from twoturns.words import t
from twoturns.words.en.instruments import turn as words

EDITION = 1
STILL_US = 900_000  # chosen: a still second, less a sample at each end
MOST_SPREAD_MDPS = 2_000  # chosen: more is a hand that moves, no sensor's noise
MOST_ZERO_MDPS = 10_000  # chosen: no sensor is that far off, so the phone was turning
MOST_GAP_US = 200_000  # chosen: a dozen samples; a turn across it would be guessed
MOST_RATE_MDPS = 500_000  # chosen: faster, 60 readings a second say too little
LONGEST_US = 120_000_000  # chosen: the zero drifts, and a stroke takes seconds
MOST_BACK_DEG = 5  # chosen: more is a ratchet's way back, which is no part of the turn
LEAST_DEG = 5  # chosen: of less, the chance part alone would be a fifth
MOST_SWING_DEG = 35  # chosen, from simulation: up to there the tolerances hold
CHANCE_DEG = 1  # chosen, from simulation: of one capture
SCALE_SHARE = (
    1 / 30
)  # chosen, from simulation, of the angle, not calibrated: with the chance part 4° at 90
CALIBRATED_SHARE = 1 / 90  # chosen, from simulation: with the chance part 2° at 90
MOST_SCALE_PPM = 50_000  # chosen: five times what is typical; beyond, that turn was not a whole one

Vector = tuple[float, float, float]
Quaternion = tuple[float, float, float, float]


@dataclass(frozen=True)
class Turn:
    """
    One capture. `sense` is clockwise or anticlockwise as seen by one who faces the screen, or
    unknown where the screen faced sideways. `axis` is in thousandths, in the phone's own frame.
    """

    mdeg: int
    value: str  # degrees, one decimal, never below zero
    tolerance_mdeg: int
    sense: str
    axis: tuple[int, int, int]
    is_calibrated: bool
    message: str


def measure_turn(sheet: Mapping[str, Any]) -> Turn | Refusal:
    """
    Return the angle of one capture from its sheet (formats.md, section 10), or why not.

    Args:
        sheet: `samples` [t_us, x, y, z] in thousandths of a degree per second, in order of time;
            `still` the second before the turn; `scale_ppm` what to add to the rates.
    """
    samples, still = sheet["samples"], sheet["still"]
    zero = _zero([s for s in samples if still["from_us"] <= s[0] <= still["to_us"]])
    if isinstance(zero, Refusal):
        return zero
    moving = [s for s in samples if s[0] >= still["to_us"]]
    unfit = _unfit(moving)
    if unfit:
        return unfit
    path = _path(moving, zero, 1 + sheet["scale_ppm"] / 1_000_000)
    return _judged(path, sheet["scale_ppm"] != 0)


def recompute(captures: Sequence[Mapping[str, Any]]) -> Turn | Refusal:
    """
    Compute a reading anew from its sheets, which may be anything that somebody sent.

    Args:
        captures: One sheet for each stroke, as the reading names them; the value is their sum.
    """
    turns = []
    for sheet in captures:
        refusal = sheets.unfit(sheet, "turn", EDITION, has_form=_has_form(sheet))
        found = refusal or measure_turn(sheet)
        if isinstance(found, Refusal):
            return found
        turns.append(found)
    return turns[0] if len(turns) == 1 else add_turns(turns)


def _has_form(sheet: Mapping[str, Any]) -> bool:
    still, samples = sheet.get("still"), sheet.get("samples")
    return (
        isinstance(still, dict)
        and still.keys() == {"from_us", "to_us"}
        and all(sheets.is_whole(at, 0, 10**12) for at in still.values())
        and sheets.is_whole(sheet.get("scale_ppm"), -MOST_SCALE_PPM, MOST_SCALE_PPM)
        and isinstance(samples, list)
        and all(sheets.are_whole(sample, 4, 10**12) for sample in samples)
    )


def add_turns(turns: Iterable[Turn]) -> Turn:
    """
    Return several captures of one tightening as one: the strokes of a ratchet.

    The chance part of the tolerance grows with the root of their number, the scale's part does not
    average out: it is one sensor.
    """
    parts = list(turns)
    mdeg = sum(part.mdeg for part in parts)
    senses = {part.sense for part in parts}
    is_calibrated = all(part.is_calibrated for part in parts)
    sense = senses.pop() if len(senses) == 1 else "unknown"
    return _turn(mdeg, len(parts), sense, parts[-1].axis, is_calibrated)


def in_turns(turn: Turn) -> str:
    """Return the angle in turns, as a reading records it where a crank is turned: two decimals."""
    return f"{rounded(turn.mdeg / 3600) / 100:.2f}"


def same(told: str, found: Turn, *, unit: str = "\u00b0") -> bool:
    """Tell whether a recorded value is ours: sines differ in their last digit by platform."""
    if unit == "turns":
        # Half of the last digit is 1.8 degrees.
        return abs(360 * float(told) - found.mdeg / 1000) < 1.8 + 0.15
    return abs(float(told) - float(found.value)) < 0.15


def _zero(samples: Sequence[Sequence[int]]) -> Vector | Refusal:
    """What each axis says when nothing turns."""
    if len(samples) < 10 or samples[-1][0] - samples[0][0] < STILL_US:
        message = t(words.NO_STILL)
        return Refusal("no-still", message, t(words.NO_STILL_HINT))
    columns = [[sample[axis] for sample in samples] for axis in (1, 2, 3)]
    means = [sum(column) / len(column) for column in columns]
    spread = max(max(column) - min(column) for column in columns)
    if spread > MOST_SPREAD_MDPS or max(map(abs, means)) > MOST_ZERO_MDPS:
        message = t(words.NOT_STILL)
        return Refusal("not-still", message, t(words.NOT_STILL_HINT))
    return (means[0], means[1], means[2])


def _unfit(samples: Sequence[Sequence[int]]) -> Refusal | None:
    again = t(words.KEEP_PAGE_IN_FRONT)
    if len(samples) < 10:
        return Refusal("no-samples", t(words.NO_SAMPLES), again)
    gaps = [b[0] - a[0] for a, b in pairwise(samples)]
    if max(gaps) > MOST_GAP_US or min(gaps) <= 0:
        return Refusal("gap", t(words.SENSOR_PAUSED), again)
    if samples[-1][0] - samples[0][0] > LONGEST_US:
        message = t(words.TOO_LONG)
        return Refusal("too-long", message, t(words.TOO_LONG_HINT))
    if max(abs(rate) for sample in samples for rate in sample[1:]) > MOST_RATE_MDPS:
        return Refusal("too-fast", t(words.TOO_FAST), t(words.TOO_FAST_HINT))
    return None


def _times(p: Quaternion, q: Quaternion) -> Quaternion:
    return (
        p[0] * q[0] - p[1] * q[1] - p[2] * q[2] - p[3] * q[3],
        p[0] * q[1] + p[1] * q[0] + p[2] * q[3] - p[3] * q[2],
        p[0] * q[2] - p[1] * q[3] + p[2] * q[0] + p[3] * q[1],
        p[0] * q[3] + p[1] * q[2] - p[2] * q[1] + p[3] * q[0],
    )


@dataclass(frozen=True)
class _Path:
    rotations: list[Quaternion]  # since the still second, one a sample
    sum_rad: Vector  # the rates simply added up


def _path(samples: Sequence[Sequence[int]], zero: Vector, scale: float) -> _Path:
    to_rad = math.pi / 180_000 * scale
    q: Quaternion = (1.0, 0.0, 0.0, 0.0)
    x = y = z = 0.0
    rotations = [q]
    for one, two in pairwise(samples):
        seconds = (two[0] - one[0]) / 1_000_000
        dx, dy, dz = (((one[i] + two[i]) / 2 - zero[i - 1]) * to_rad * seconds for i in (1, 2, 3))
        x, y, z = x + dx, y + dy, z + dz
        angle = math.sqrt(dx * dx + dy * dy + dz * dz)
        part = 0.5 if angle < 1e-9 else math.sin(angle / 2) / angle
        q = _times(q, (math.cos(angle / 2), part * dx, part * dy, part * dz))
        rotations.append(q)
    return _Path(rotations, (x, y, z))


def _unit(v: Vector) -> Vector:
    length = math.sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2])
    return (v[0] / length, v[1] / length, v[2] / length)


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _twist(q: Quaternion, axis: Vector) -> float:
    """The part of a rotation about an axis, radians, whole turns left out."""
    return 2 * math.atan2(_dot((q[1], q[2], q[3]), axis), q[0])


def _nearest(angle: float, near: float) -> float:
    """The same direction as `angle`, as few turns as possible from `near`."""
    return angle - 2 * math.pi * math.floor((angle - near) / (2 * math.pi) + 0.5)


def _judged(path: _Path, is_calibrated: bool) -> Turn | Refusal:
    if math.sqrt(_dot(path.sum_rad, path.sum_rad)) < LEAST_DEG * math.pi / 180:
        return Refusal("no-turn", t(words.NO_TURN), t(words.NO_TURN_HINT))
    axis = _unit(path.sum_rad)
    turned = most = back = 0.0
    for q in path.rotations:
        turned = _nearest(_twist(q, axis), turned)
        most = max(most, turned)
        back = max(back, most - turned)
    if back > MOST_BACK_DEG * math.pi / 180:
        return Refusal(
            "turned-back",
            t(words.TURNED_BACK, rounded=rounded(back * 180 / math.pi)),
            t(words.TURNED_BACK_HINT),
        )
    q = path.rotations[-1]
    swing = 2 * math.acos(min(1.0, math.hypot(q[0], _dot((q[1], q[2], q[3]), axis))))
    if swing > MOST_SWING_DEG * math.pi / 180:
        message = t(words.LOOSE)
        return Refusal("loose", message, t(words.LOOSE_HINT))
    axis = _net_axis(q, axis)
    turned = _nearest(_twist(q, axis), turned)
    sense = "unknown" if abs(axis[2]) < 0.5 else "anticlockwise" if axis[2] > 0 else "clockwise"
    thousandths = (rounded(axis[0] * 1000), rounded(axis[1] * 1000), rounded(axis[2] * 1000))
    return _turn(rounded(turned * 180_000 / math.pi), 1, sense, thousandths, is_calibrated)


def _net_axis(q: Quaternion, about: Vector) -> Vector:
    """The axis of the whole rotation, where it has one: near whole turns only `about` is known."""
    v = (q[1], q[2], q[3])
    if _dot(v, v) < 0.35 * 0.35:
        return about
    axis = _unit(v)
    return axis if _dot(axis, about) > 0 else (-axis[0], -axis[1], -axis[2])


def _turn(
    mdeg: int, captures: int, sense: str, axis: tuple[int, int, int], is_calibrated: bool
) -> Turn:
    share = CALIBRATED_SHARE if is_calibrated else SCALE_SHARE
    tolerance = rounded(1000 * CHANCE_DEG * math.sqrt(captures) + mdeg * share)
    value = f"{rounded(mdeg / 100) / 10:.1f}"
    message = t(words.TURNED_BY, value=value, rounded=rounded(tolerance / 1000))
    return Turn(mdeg, value, tolerance, sense, axis, is_calibrated, message)
