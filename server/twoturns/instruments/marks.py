"""
How far a wheel's mark stands from its pointer, in teeth, from taps on one photo.

Five taps give the value. The middle of the hub and two tooth tips, whose teeth apart are counted,
fix how the camera squeezed the wheel (an affine map about the hub); the angle between mark and
pointer is measured through that map. Squeezing by perspective is left out: for marks a tooth or so
apart it costs under 0.05 tooth at 20 degrees of tilt.

The tilt is what spoils the value where mark and pointer do not lie at one depth (5 mm at
20 degrees: 1.7 degrees), and five taps tell it badly: perspective and tilt look alike on one side
of the wheel. So from five taps a photo passes up to 15 degrees measured and fails from 28; between,
two more tooth tips on the far side are asked for. Those seven taps fix the whole projective picture
of the wheel (the hub's vanishing line is the conic's polar) and the gate is 20 degrees.

No focal length is needed. The method and its limits are our own, from simulation (tests/bench,
bench_instruments.py); the geometry (pole and polar, the image of a circle) is that of Hartley and
Zisserman, Multiple View Geometry, chapters 2 and 8. The twin is `client/src/instruments/marks.ts`;
`same` tells how far the two may differ.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from twoturns.instruments import sheet as sheets
from twoturns.instruments.refusal import Refusal, rounded
from twoturns.words import t
from twoturns.words.en.instruments import marks as words

EDITION = 1
MOST_TILT_DEG = 20  # chosen: more, and marks at two depths are told apart for a fifth of a tooth
CLEAR_TILT_DEG = 15  # chosen, from simulation: by five taps surely square enough up to here,
HOPELESS_TILT_DEG = 28  # chosen, from simulation: surely not from there
LEAST_RADIUS = 300  # chosen, screen pixels: a finger hits within some 3, a hundredth of it
MOST_ZOOM_MILLI = 4000  # chosen: beyond, the loupe shows pixels and no more of the wheel
LEAST_SPAN_DEG = 50  # chosen, from simulation: tips nearer to each other tell the tilt badly,
MOST_SPAN_DEG = 140  # chosen, from simulation: and so do tips almost across the hub
MOST_OFF_CENTRE = 0.25  # chosen: the hub in long sides from the middle, 18° for a common lens
FAR_APART_CENTI = 150  # chosen: a tooth and a half; perspective is left out for marks so near
IN_LINE_CENTI = 25  # chosen: three times what taps are off on a clear photo (rms 0.075, bench)
ONE_OUT_CENTI = 75  # chosen: as far from one tooth as that from none; between them no verdict

Vector = tuple[float, float]
Form = tuple[float, float, float]
"""A symmetric 2 x 2 form: xx·x² + 2·xy·x·y + yy·y²."""


@dataclass(frozen=True)
class Marks:
    """A value. `teeth_milli` is above zero where the mark stands clockwise of the pointer."""

    teeth_milli: int
    tilt_mdeg: int
    value: str
    verdict: str  # in-line, one-out, cannot-tell
    message: str
    hint: str


def suggested_span(teeth: int) -> int:
    """Return the teeth to ask for between the tips: even, near a fifth of the wheel."""
    return max(4, 2 * rounded(teeth / 10))


def measure_marks(sheet: Mapping[str, Any]) -> Marks | Refusal:
    """
    Return the value and its verdict from a sheet (formats.md, section 10), or why there is none.

    Taps are hundredths of a pixel of the photo as displayed; `zoom_milli` is screen pixels to a
    photo pixel, in thousandths. What the sheet says it found is not looked at.

    >>> taps = {"hub": [200000, 150000], "tip_a": [173000, 108000], "tip_b": [227000, 108000],
    ...         "mark": [200000, 105000], "pointer": [200000, 95000]}
    >>> found = measure_marks({"width": 4000, "height": 3000, "teeth": 44, "span": 8,
    ...                        "zoom_milli": 1000, "taps": taps})
    >>> found.value, found.verdict
    ('0.00', 'in-line')
    """
    teeth, span, taps = sheet["teeth"], sheet["span"], sheet["taps"]
    span_deg = 360 * span / teeth
    if not LEAST_SPAN_DEG <= span_deg <= MOST_SPAN_DEG:
        return Refusal(
            "span-unfit",
            t(words.SPAN_UNFIT, span=span, teeth=teeth),
            t(words.SPAN_UNFIT_HINT, teeth=suggested_span(teeth)),
        )
    if _off_centre(sheet) > MOST_OFF_CENTRE:
        message = t(words.OFF_CENTRE)
        return Refusal("off-centre", message, t(words.OFF_CENTRE_HINT))
    wheel = _wheel(taps, span_deg)
    if wheel is None:
        return Refusal("taps-unfit", t(words.TAPS_UNFIT), _HOW_TO_TAP)
    return (
        _too_small(wheel.radius, sheet["zoom_milli"])
        or _outside(wheel)
        or _too_tilted(wheel)
        or _found(wheel, teeth)
    )


def recompute(sheet: Mapping[str, Any]) -> Marks | Refusal:
    """Compute a reading anew from its sheet, which may be anything that somebody sent."""
    refusal = sheets.unfit(sheet, "marks", EDITION, has_form=_has_form(sheet))
    return refusal or measure_marks(sheet)


def _has_form(sheet: Mapping[str, Any]) -> bool:
    sizes, taps = ("width", "height", "teeth", "span", "zoom_milli"), sheet.get("taps")
    figures = ("teeth_milli", "tilt_mdeg")
    if not isinstance(taps, dict) or taps.keys() - {"far"} != _TAPPED:
        return False
    far = taps.get("far", [[0, 0], [0, 0]])
    return (
        all(sheets.is_whole(sheet.get(name), 1, 100_000) for name in sizes)
        and all(sheets.is_whole(sheet.get(name), -(10**6), 10**6) for name in figures)
        and isinstance(far, list)
        and len(far) == 2
        and all(
            sheets.are_whole(point, 2, 10**8) for point in (*(taps[name] for name in _TAPPED), *far)
        )
    )


_TAPPED = frozenset({"hub", "tip_a", "tip_b", "mark", "pointer"})


def same(told: Mapping[str, Any], found: Marks) -> bool:
    """Tell whether a sheet's figures are ours: sines differ in their last digit by platform."""
    teeth_off = abs(told["teeth_milli"] - found.teeth_milli)
    tilt_off = abs(told["tilt_mdeg"] - found.tilt_mdeg)
    return bool(teeth_off <= 1 and tilt_off <= 2)


_HOW_TO_TAP = t(words.TAPS_UNFIT_HINT)


@dataclass(frozen=True)
class _Wheel:
    radius: float  # longer half axis, photo pixels
    tilt_deg: float
    tilt_is_sure: bool  # False: from five taps alone
    mark_is_between: bool
    angle_deg: float  # from pointer to mark, clockwise on the photo


def _cross(a: Vector, b: Vector) -> float:
    return a[0] * b[1] - a[1] * b[0]


def _off_centre(sheet: Mapping[str, Any]) -> float:
    x = sheet["taps"]["hub"][0] / 100 - sheet["width"] / 2
    y = sheet["taps"]["hub"][1] / 100 - sheet["height"] / 2
    return float(math.sqrt(x * x + y * y) / max(sheet["width"], sheet["height"]))


def _wheel(taps: Mapping[str, Any], span_deg: float) -> _Wheel | None:
    def of(point: Sequence[int]) -> Vector:
        return ((point[0] - taps["hub"][0]) / 100, (point[1] - taps["hub"][1]) / 100)

    a, b, mark, pointer = (of(taps[name]) for name in ("tip_a", "tip_b", "mark", "pointer"))
    area = _cross(a, b)
    if abs(area) < 1 or (0, 0) in (mark, pointer):
        return None
    cos, sin = math.cos(span_deg * math.pi / 180), math.sin(span_deg * math.pi / 180)
    # In the frame of the two tips a point is alpha·a + beta·b; on the wheel a and b are unit
    # vectors, span_deg apart.
    (ma, mb), (pa, pb) = ((_cross(p, b) / area, _cross(a, p) / area) for p in (mark, pointer))
    turn = math.atan2(sin * (pa * mb - pb * ma), pa * ma + pb * mb + cos * (pa * mb + pb * ma))
    near = _form_of_tips(a, b, area, cos)
    radius = 1 / math.sqrt(_axes(near)[0])
    whole: Form | None = near
    if "far" in taps:
        whole = _projective_form([a, b, *(of(point) for point in taps["far"])], cos, radius)
    if whole is None:
        return None
    return _Wheel(
        radius=radius,
        tilt_deg=_tilt(whole),
        tilt_is_sure="far" in taps,
        mark_is_between=ma >= 0 and mb >= 0,
        angle_deg=math.copysign(1, area) * turn * 180 / math.pi,
    )


def _form_of_tips(a: Vector, b: Vector, area: float, cos: float) -> Form:
    """Return the form that is 1 on the wheel's rim, from hub and two tips: the affine picture."""
    square = area * area
    return (
        (b[1] * b[1] + a[1] * a[1] - 2 * cos * a[1] * b[1]) / square,
        (-b[0] * b[1] - a[0] * a[1] + cos * (a[0] * b[1] + a[1] * b[0])) / square,
        (b[0] * b[0] + a[0] * a[0] - 2 * cos * a[0] * b[0]) / square,
    )


def _projective_form(rim: Sequence[Vector], cos: float, radius: float) -> Form | None:
    """
    Return the same about the hub in the projective picture, or None: no wheel looks like this.

    x'Bx = (1 - w·x)² on the rim, so with N = B - ww', x'Nx + 2w·x = 1. Four rim points and the
    known angle between the first two are five equations for N and w; the small square in the
    angle's equation comes from the round before.
    """
    unit = [(x / radius, y / radius) for x, y in rim]
    a, b = unit[:2]
    rows = [[x * x, 2 * x * y, y * y, 2 * x, 2 * y] for x, y in unit]
    across = [a[0] * b[0], a[0] * b[1] + a[1] * b[0], a[1] * b[1]]
    rows.append([*across, cos * (a[0] + b[0]), cos * (a[1] + b[1])])
    wx = wy = xx = xy = yy = 0.0
    for _ in range(8):
        square = (wx * a[0] + wy * a[1]) * (wx * b[0] + wy * b[1]) * (1 - cos)
        solved = _solve(rows, [1, 1, 1, 1, cos - square])
        if solved is None:
            return None
        nxx, nxy, nyy, wx, wy = solved
        xx, xy, yy = nxx + wx * wx, nxy + wx * wy, nyy + wy * wy
    return (xx, xy, yy) if xx > 0 and xx * yy - xy * xy > 0 else None


def _solve(rows: Sequence[Sequence[float]], right: Sequence[float]) -> list[float] | None:
    """Gaussian elimination as the phone does it: both must call the same taps unfit."""
    table = np.array([[*row, value] for row, value in zip(rows, right, strict=True)])
    n = len(table)
    for col in range(n):
        best = col + int(np.argmax(np.abs(table[col:, col])))
        table[[col, best]] = table[[best, col]]
        if abs(table[col, col]) < 1e-9:
            return None
        for row in range(n):
            if row != col:
                table[row] -= table[row, col] / table[col, col] * table[col]
    return [float(table[i, n] / table[i, i]) for i in range(n)]


def _axes(form: Form) -> tuple[float, float]:
    xx, xy, yy = form
    middle = (xx + yy) / 2
    half = math.sqrt(((xx - yy) / 2) ** 2 + xy * xy)
    return middle - half, middle + half


def _tilt(form: Form) -> float:
    """A circle seen from an angle is as much shorter as the cosine of that angle."""
    least, most = _axes(form)
    return math.acos(math.sqrt(max(0.0, least / most))) * 180 / math.pi


def _too_small(radius: float, zoom_milli: int) -> Refusal | None:
    if radius * min(zoom_milli, MOST_ZOOM_MILLI) / 1000 >= LEAST_RADIUS:
        return None
    nearer = radius * MOST_ZOOM_MILLI < LEAST_RADIUS * 1000
    return Refusal(
        "too-small",
        t(words.TOO_SMALL),
        t(words.TOO_SMALL_CLOSER_HINT) if nearer else t(words.TOO_SMALL_LARGER_HINT),
    )


def _outside(wheel: _Wheel) -> Refusal | None:
    if wheel.mark_is_between:
        return None
    message = t(words.MARK_OUTSIDE)
    return Refusal("mark-outside", message, t(words.MARK_OUTSIDE_HINT))


def _too_tilted(wheel: _Wheel) -> Refusal | None:
    if wheel.tilt_deg > (MOST_TILT_DEG if wheel.tilt_is_sure else HOPELESS_TILT_DEG):
        return Refusal(
            "tilted",
            t(words.TILTED, tilt=rounded(wheel.tilt_deg), most=MOST_TILT_DEG),
            t(words.TILTED_HINT),
        )
    if wheel.tilt_is_sure or wheel.tilt_deg <= CLEAR_TILT_DEG:
        return None
    return Refusal(
        "tilt-unclear",
        t(words.TILT_UNCLEAR),
        t(words.TILT_UNCLEAR_HINT),
    )


def _found(wheel: _Wheel, teeth: int) -> Marks | Refusal:
    milli = rounded(wheel.angle_deg * teeth * 1000 / 360)
    apart_centi = rounded(abs(milli) / 10)
    apart = f"{apart_centi / 100:.2f}"
    value = f"-{apart}" if milli < 0 and apart_centi else apart
    if apart_centi > FAR_APART_CENTI:
        return Refusal(
            "far-apart",
            t(words.FAR_APART, apart=apart),
            t(words.FAR_APART_HINT),
        )
    side = "anticlockwise" if milli < 0 else "clockwise"
    if apart_centi <= IN_LINE_CENTI:
        verdict, message = "in-line", t(words.IN_LINE, apart=apart)
        hint = t(words.IN_LINE_HINT)
    elif apart_centi >= ONE_OUT_CENTI:
        verdict = "one-out"
        message = t(words.ONE_TOOTH_OUT, side=side)
        hint = t(words.ONE_TOOTH_OUT_HINT)
    else:
        verdict = "cannot-tell"
        message = t(words.UNDECIDED, apart=apart)
        hint = t(words.UNDECIDED_HINT)
    return Marks(milli, rounded(wheel.tilt_deg * 1000), value, verdict, message, hint)
