"""
The belt path against the outside: Shigley's open belt, a convex hull (shapely), a constrained
shortest loop (scipy), and the three invented drives solved by another program beforehand.
"""

import itertools
import math
import random

import numpy as np
import pytest
from scipy.optimize import brentq, minimize
from shapely.geometry import Point
from shapely.ops import unary_union

from twoturns.trade.drive import (
    DriveError,
    Eccentric,
    MarkOffBelt,
    NoTangent,
    NotRound,
    OutOfReach,
    Wheel,
    at_angle,
    belt_path,
    belts_that_fit,
    crossed_spans,
    degrees_per_tooth,
    eccentric_settings,
    gaps,
    pitch_radius_mm,
    reach_mm,
    teeth_between_marks,
    teeth_in_mesh,
    turns_until_back,
    turns_until_marks_meet,
)


def test_open_belt_agrees_with_shigley_chapter_17():
    """D 18 in, d 6 in, C 96 in: printed 3.0165 and 3.2667 rad, L 230.074 in."""
    path = belt_path([Wheel("d", 0, 0, 3), Wheel("D", 96, 0, 9)])
    assert math.radians(path.arcs[0].wrap_deg) == pytest.approx(3.016511, abs=5e-7)
    assert math.radians(path.arcs[1].wrap_deg) == pytest.approx(3.266674, abs=5e-7)
    assert path.length_mm == pytest.approx(230.074, abs=1e-3)


def test_the_usual_approximation_is_not_what_is_computed():
    """2C + 1.57 (D + d) + (D - d)²/4C is near where wheels stand far apart, and not on a car."""

    def beside(d, large, apart):
        path = belt_path([Wheel("d", 0, 0, d / 2), Wheel("D", apart, 0, large / 2)])
        near = 2 * apart + math.pi / 2 * (large + d) + (large - d) ** 2 / (4 * apart)
        return near - path.length_mm

    assert beside(6, 18, 96) == pytest.approx(-0.00012, abs=5e-6)
    assert beside(61, 122, 110) == pytest.approx(-0.055, abs=5e-4)


def random_ring(rng, count):
    """Wheels round a circle: the belt touches each of them, or belt_path says that it does not."""
    return [
        Wheel(
            f"w{i}",
            rng.uniform(130, 170) * math.cos(-math.tau * i / count),
            rng.uniform(130, 170) * math.sin(-math.tau * i / count),
            rng.uniform(15, 45),
        )
        for i in range(count)
    ]


@pytest.mark.parametrize("seed", range(20))
def test_a_loop_round_inside_wheels_is_their_convex_hull(seed):
    rng = random.Random(seed)
    wheels = random_ring(rng, rng.choice([3, 4, 5]))
    discs = [Point(w.x_mm, w.y_mm).buffer(w.radius_mm, quad_segs=512) for w in wheels]
    hull = unary_union(discs).convex_hull
    assert belt_path(wheels).length_mm == pytest.approx(hull.length, rel=1e-6)


def with_idler(rng, ring):
    """Put an outside idler into the span from the first to the second wheel of a ring."""
    path = belt_path(ring)
    out, into = np.array(path.arcs[0].out), np.array(path.arcs[1].into)
    along = (into - out) / np.linalg.norm(into - out)
    outward = np.array([-along[1], along[0]])  # to the left of a clockwise belt
    radius, depth = rng.uniform(15, 30), rng.uniform(4, 25)
    x, y = (out + into) / 2 + outward * (radius - depth)
    return [ring[0], Wheel("idler", float(x), float(y), radius, inside=False), *ring[1:]]


def shortest_loop_mm(wheels, rng):
    """
    The shortest closed curve that leaves every wheel outward, found without tangent geometry:
    two free angles a wheel (where the belt comes on and goes off), length minimised by SLSQP.
    """
    radii = np.array([w.radius_mm for w in wheels])
    turns = np.array([-1 if w.inside else 1 for w in wheels])
    centres = np.array([(w.x_mm, w.y_mm) for w in wheels])

    def normals(angles):
        return np.column_stack([np.cos(angles), np.sin(angles)])

    def spans(x):
        on, off = x[: len(wheels)], x[len(wheels) :]
        starts = centres + radii[:, None] * normals(off)
        ends = centres + radii[:, None] * normals(on)
        return np.roll(ends, -1, axis=0) - starts

    def length(x):
        on, off = x[: len(wheels)], x[len(wheels) :]
        return np.linalg.norm(spans(x), axis=1).sum() + (radii * turns * (off - on)).sum()

    def outward(x):
        on, off = x[: len(wheels)], x[len(wheels) :]
        span = spans(x)
        leaves = (span * normals(off)).sum(axis=1)
        arrives = -(np.roll(span, 1, axis=0) * normals(on)).sum(axis=1)
        return np.concatenate([leaves, arrives])

    path = belt_path(wheels)
    on = [
        math.atan2(a.into[1] - w.y_mm, a.into[0] - w.x_mm)
        for a, w in zip(path.arcs, wheels, strict=True)
    ]
    off = [
        a + t * math.radians(arc.wrap_deg) for a, t, arc in zip(on, turns, path.arcs, strict=True)
    ]
    for spread in (0.2, 0.1, 0.05):  # SLSQP sometimes wanders off from a far start and says so
        stray = np.array([rng.uniform(-spread, spread) for _ in range(2 * len(on))])
        found = minimize(
            length,
            np.array([*on, *off]) + stray,
            method="SLSQP",
            constraints={"type": "ineq", "fun": outward},
            options={"maxiter": 500, "ftol": 1e-13},
        )
        if found.success:
            return found.fun
    raise AssertionError(found.message)


@pytest.mark.parametrize("seed", range(20))
def test_a_loop_with_an_outside_idler_is_the_constrained_shortest_loop(seed):
    rng = random.Random(1000 + seed)
    wheels = with_idler(rng, random_ring(rng, 4))
    assert belt_path(wheels).length_mm == pytest.approx(shortest_loop_mm(wheels, rng), abs=1e-5)


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("clockwise", [True, False])
def test_the_wraps_add_up_to_one_turn_either_way_round(seed, clockwise):
    rng = random.Random(2000 + seed)
    wheels = with_idler(rng, random_ring(rng, 5))
    if not clockwise:
        wheels = wheels[::-1]
    path = belt_path(wheels, clockwise=clockwise)
    signed = sum(a.wrap_deg if a.wheel.inside else -a.wrap_deg for a in path.arcs)
    assert signed == pytest.approx(360, abs=1e-9)
    assert path.length_mm == pytest.approx(
        belt_path(wheels[::-1], clockwise=not clockwise).length_mm, abs=1e-9
    )


P8 = 8.0
LOOP = [
    Wheel("a", 0, 0, pitch_radius_mm(22, P8)),
    Wheel("b", 95, 60, 30, inside=False),
    Wheel("c", 120, 190, pitch_radius_mm(44, P8)),
    Wheel("d", -30, 205, pitch_radius_mm(44, P8)),
    Wheel("e", -62, 95, 30),
]


def test_the_anticlockwise_loop_solved_by_another_program():
    """Figures of a separate solver, itself checked with a 1600-node elastic band to 0.0023 mm."""
    path = belt_path([LOOP[0], Wheel("b", 95, 60, 30, inside=False), *LOOP[2:]], clockwise=False)
    assert path.length_mm == pytest.approx(886.5860, abs=5e-5)
    spans = [96.23, 100.62, 150.75, 111.57, 113.42]
    assert path.spans_mm == pytest.approx(spans, abs=5e-3)
    wraps = [arc.wrap_deg for arc in path.arcs]
    assert wraps == pytest.approx([119.2, 24.8, 135.7, 92.6, 37.2], abs=0.05)
    mesh = [teeth_in_mesh(wraps[i], t) for i, t in ((0, 22), (2, 44), (3, 44))]
    assert mesh == pytest.approx([7.29, 16.59, 11.32], abs=5e-3)


def test_the_eccentric_of_that_loop_has_two_angles_for_its_one_belt():
    eccentric = Eccentric("e", -66, 95, 6)
    low, high = reach_mm(LOOP, eccentric, clockwise=False)
    assert (low, high) == pytest.approx((885.254, 893.629), abs=1e-3)
    assert belts_that_fit(LOOP, eccentric, P8, clockwise=False) == [111]
    settings = eccentric_settings(LOOP, eccentric, 888, clockwise=False)
    assert [s.angle_deg for s in settings] == pytest.approx([88.4004, 302.2668], abs=1e-4)
    assert [abs(s.slope_mm_per_deg) for s in settings] == pytest.approx([0.0678] * 2, abs=1e-4)


def test_the_eccentric_angle_agrees_with_brentq():
    eccentric = Eccentric("e", -66, 95, 6)

    def residual(angle):
        return belt_path(at_angle(LOOP, eccentric, angle), clockwise=False).length_mm - 888

    wanted = [brentq(residual, 60, 120, xtol=1e-12), brentq(residual, 270, 330, xtol=1e-12)]
    found = [s.angle_deg for s in eccentric_settings(LOOP, eccentric, 888, clockwise=False)]
    assert found == pytest.approx(wanted, abs=1e-9)


# The invented drives of the demo, as another program solved them: one decimal is printed.
# id, x, y, pitch radius, inside, wrap, length of the span to the next wheel
VAN = [
    ("crank", 0, 0, pitch_radius_mm(24, 8.0), True, 128.7, 106.8),
    ("water_pump", -84, 66, pitch_radius_mm(21, 8.0), True, 111.1, 59.1),
    ("tensioner", -60.62, 146.42, 62 / 2 + 1.6, False, 70.5, 162.7),
    ("cam", 6, 322, pitch_radius_mm(48, 8.0), True, 157.3, 187.4),
    ("pump", 118, 171, pitch_radius_mm(36, 8.0), True, 101.7, 87.4),
    ("idler", 62, 70, 56 / 2 + 1.6, False, 68.3, 71.6),
]
HATCH = [
    ("crank", 0, 0, pitch_radius_mm(21, 7.5), True, 136.8, 116.3),
    ("tensioner", -44.07, 120.21, 54 / 2 + 1.5, False, 35.3, 157.8),
    ("exhaust", -57, 296, pitch_radius_mm(42, 7.5), True, 120.7, 114.0),
    ("inlet", 57, 296, pitch_radius_mm(42, 7.5), True, 130.4, 134.9),
    ("water_pump", 31, 141, 58 / 2 + 1.5, False, 108.4, 71.6),
    ("idler", 78, 66, 36 / 2 + 3.5, True, 115.8, 102.1),
]
AUXILIARY = [
    ("crank", 0, 0, 76, True, 114.0, 105.3),
    ("tensioner", -110.68, 108.33, 70 / 2 + 2.6, False, 53.7, 123.6),
    ("alternator", -168, 236, 28, True, 177.5, 207.8),
    ("idler", 40, 170, 72 / 2 + 2.6, False, 30.8, 158.3),
    ("compressor", 190, 60, 59, True, 153.0, 198.5),
]
DRIVES = {
    "van": (VAN, Eccentric("tensioner", -56, 151, 6.5), 1120.0, 224.76, 0.124),
    "hatch": (HATCH, Eccentric("tensioner", -48, 126, 7.0), 1095.0, 304.14, 0.069),
    "auxiliary": (AUXILIARY, Eccentric("tensioner", -150, 178, 80.0), 1245.0, 299.44, 1.258),
}


def wheels_of(rows):
    return [Wheel(*row[:5]) for row in rows]


def solved(name):
    rows, eccentric, belt_mm, near_deg, _ = DRIVES[name]
    wheels = wheels_of(rows)
    settings = eccentric_settings(wheels, eccentric, belt_mm)
    setting = min(settings, key=lambda s: abs(s.angle_deg - near_deg))
    return setting, belt_path(at_angle(wheels, eccentric, setting.angle_deg))


@pytest.mark.parametrize("name", DRIVES)
def test_the_demo_drives_agree_with_their_own_solver(name):
    rows, _, belt_mm, angle_deg, slope = DRIVES[name]
    setting, path = solved(name)
    assert path.length_mm == pytest.approx(belt_mm, abs=1e-9)
    assert setting.angle_deg == pytest.approx(angle_deg, abs=6e-3)
    assert setting.slope_mm_per_deg == pytest.approx(slope, abs=6e-4)
    assert [a.wrap_deg for a in path.arcs] == pytest.approx([r[5] for r in rows], abs=0.051)
    assert path.spans_mm == pytest.approx([r[6] for r in rows], abs=0.051)


def test_the_van_takes_140_teeth_and_wrongly_141_and_the_hatch_only_146():
    rows, eccentric, *_ = DRIVES["van"]
    wheels = wheels_of(rows)
    assert belts_that_fit(wheels, eccentric, 8.0) == [140, 141]
    assert reach_mm(wheels, eccentric) == pytest.approx((1115.35, 1130.40), abs=5e-3)
    wrong = [s.angle_deg for s in eccentric_settings(wheels, eccentric, 141 * 8.0)]
    assert max(wrong) == pytest.approx(288.3, abs=0.05)
    with pytest.raises(OutOfReach, match=r"1112\.0 mm does not fit: .* 1115\.3 to 1130\.4 mm"):
        eccentric_settings(wheels, eccentric, 139 * 8.0)
    rows, eccentric, *_ = DRIVES["hatch"]
    assert belts_that_fit(wheels_of(rows), eccentric, 7.5) == [146]


MARKS = [
    ("van", 8.0, [("pump", 18.30, 39), ("cam", 93.53, 72)]),
    ("hatch", 7.5, [("inlet", 35.83, 66), ("exhaust", 119.83, 91)]),
]


@pytest.mark.parametrize(("name", "pitch_mm", "marks"), MARKS)
def test_teeth_between_the_marks_along_the_tight_side(name, pitch_mm, marks):
    _, path = solved(name)
    for wheel, mark_deg, teeth in marks:
        counted = teeth_between_marks(path, pitch_mm, ("crank", -90.0), (wheel, mark_deg))
        assert counted == pytest.approx(teeth, abs=1e-3)


def test_marks_of_the_van_count_back_to_its_whole_belt():
    _, path = solved("van")
    there = teeth_between_marks(path, 8.0, ("crank", -90.0), ("cam", 93.53))
    back = teeth_between_marks(path, 8.0, ("cam", 93.53), ("crank", -90.0))
    assert (there, back) == pytest.approx((72, 68), abs=1e-3)


def test_a_mark_where_the_belt_does_not_lie_is_refused():
    _, path = solved("van")
    with pytest.raises(MarkOffBelt, match="the mark of cam at -90° is not under the belt"):
        teeth_between_marks(path, 8.0, ("crank", -90.0), ("cam", -90.0))


def test_gaps_of_the_demo_drives():
    """Their own solver: wheel to wheel 13.7 mm at least, wheel to span 20 mm, no crossing."""
    all_gaps = [gap for name in DRIVES for gap in gaps(solved(name)[1])]
    to_wheels = [g.gap_mm for g in all_gaps if "span" not in g.other]
    to_spans = [g.gap_mm for g in all_gaps if "span" in g.other]
    assert min(to_wheels) == pytest.approx(13.7, abs=0.05)
    assert min(to_spans) == pytest.approx(20.4, abs=0.05)
    assert not any(crossed_spans(solved(name)[1]) for name in DRIVES)


def test_a_wheel_in_a_span_shows_as_a_negative_gap():
    """The upper span runs along y = 10; a wheel of 14 mm at y = 0 stands 4 mm through it."""

    def least_gap_mm(y_mm, radius_mm):
        ends = [Wheel("left", 0, 0, 10), Wheel("right", 200, 0, 10)]
        return min(g.gap_mm for g in gaps(belt_path([*ends, Wheel("low", 100, y_mm, radius_mm)])))

    assert least_gap_mm(-8, 10) == pytest.approx(8, abs=1e-9)
    assert least_gap_mm(0, 14) == pytest.approx(-4, abs=1e-9)


def test_an_outside_wheel_that_the_belt_misses_is_refused():
    ends = [Wheel("left", 0, 0, 10), Wheel("right", 200, 0, 10)]
    belt_path([ends[0], Wheel("idler", 100, 19, 10, inside=False), ends[1]])
    with pytest.raises(NotRound, match=r"turns through .* expected -360°"):
        belt_path([ends[0], Wheel("idler", 100, 21, 10, inside=False), ends[1]])


def test_spans_that_cut_each_other_are_named():
    """Two outside wheels push the sides of a tall loop past each other: they cut twice."""

    def waist(past_mm):
        return [
            Wheel("a", -50, 0, 10),
            Wheel("b", past_mm, 120, 10, inside=False),
            Wheel("c", -50, 200, 10),
            Wheel("d", 50, 200, 10),
            Wheel("e", -past_mm, 80, 10, inside=False),
            Wheel("f", 50, 0, 10),
        ]

    assert crossed_spans(belt_path(waist(-20))) == []
    assert crossed_spans(belt_path(waist(30))) == [("a", "e"), ("b", "d")]


def test_wheels_that_overlap_have_no_span_between_them():
    with pytest.raises(NoTangent, match="no straight span from a to b") as refused:
        belt_path([Wheel("a", 0, 0, 50), Wheel("b", 20, 0, 10), Wheel("c", 200, 0, 10)])
    assert refused.value.code == "no-tangent"


def test_a_span_is_asked_for_by_two_wheels_that_follow_each_other():
    _, path = solved("van")
    assert path.span_mm("idler", "crank") == pytest.approx(71.6, abs=0.05)
    with pytest.raises(DriveError, match="they do not follow each other"):
        path.span_mm("crank", "cam")


@pytest.mark.parametrize(
    ("teeth", "degrees"),
    [(19, 18.947), (20, 18), (22, 16.364), (24, 15), (38, 9.474), (40, 9), (44, 8.182), (48, 7.5)],
)
def test_degrees_per_tooth(teeth, degrees):
    assert degrees_per_tooth(teeth) == pytest.approx(degrees, abs=5e-4)


@pytest.mark.parametrize(
    ("wheels", "turns"),
    [
        ([18, 54], 3),  # worked: wyzant.com, question 154989
        ([12, 14], 7),  # worked: qa.campusgate.co.in, question 159
        ([24, 48, 48], 2),  # by hand: the van; a half turn a turn
        ([24, 48, 36], 6),  # by hand: the third makes two thirds of a turn
        ([20, 40, 30], 6),
        ([21, 42, 42], 2),  # the hatch
        ([24], 1),
        ([48, 24], 1),  # a wheel that runs faster
    ],
)
def test_turns_until_every_wheel_stands_where_it_stood(wheels, turns):
    """Against both worked answers, and by turning tooth by tooth until every wheel is back."""
    assert turns_until_back(*wheels) == turns
    passed = next(n for n in itertools.count(1) if not any(n % each for each in wheels))
    assert passed == turns * wheels[0]


@pytest.mark.parametrize(
    ("belt", "wheels", "turns"),
    [
        (104, [19], 104),
        (122, [22], 61),
        (141, [22], 141),
        (120, [20], 6),
        (140, [24, 48], 70),  # the van: crank and cam
        (146, [21, 42], 146),  # the hatch
    ],
)
def test_turns_until_the_paint_marks_meet(belt, wheels, turns):
    """By turning: the first crank turn at which every mark meets the belt again is that one."""
    crank = wheels[0]
    assert turns_until_marks_meet(belt, *wheels) == turns
    meets = [t for t in range(1, turns + 1) if not any(t * crank % n for n in [belt, *wheels])]
    assert meets == [turns]
