"""A wrench that was found out: by hand and by ISO 6789's own measure; days from check to check."""

import numpy as np
import pytest

from ledger_vectors import vectors
from twoturns.trade.as_found import (
    Check,
    Point,
    delivered,
    distrusted_by,
    error,
    found_out,
    is_within,
    judged,
    off_percent,
    really,
    shown,
    span,
    worst,
)

VECTORS = vectors("as_found")


def of(name):
    return pytest.mark.parametrize("case", VECTORS[name], ids=lambda case: case["source"])


@of("points")
def test_a_point_is_within_or_not(case):
    point = Point(case["nominal"], case["found"])
    assert is_within(point, case["allowed_percent"]) == case["is_within"]


@of("delivered")
def test_what_it_delivers_between_its_points_and_nothing_beyond(case):
    found = delivered([Point(*one) for one in case["points"]], case["setting"])
    assert found == (None if case["delivered"] is None else pytest.approx(case["delivered"]))


@of("shown")
def test_what_was_there_when_a_tool_showed_a_figure(case):
    points = tuple(Point(*one) for one in case["points"])
    found = really(points, case["read"])
    assert found == (None if case["really"] is None else pytest.approx(case["really"]))
    made = Check("c", "2026-11-24", "°C", points, allowed=case["allowed"])
    assert made.is_good == case["is_good"]


def test_between_its_points_a_tool_that_shows_is_off_as_numpy_interpolates():
    points = [Point(0, 0.4), Point(25, 26.1), Point(60, 59.2), Point(100, 101.3)]
    shows = [one.found for one in points]
    for read in (0.4, 7.0, 26.1, 33.3, 70.0, 101.3):
        off = np.interp(read, shows, [error(one) for one in points])
        assert really(points, read) == pytest.approx(read - off)


@of("judged")
def test_what_a_fastener_got(case):
    verdict, beyond = judged(case["value"], case["actual"], case["low"], case["high"])
    assert (verdict, beyond) == (case["verdict"], pytest.approx(case["beyond"]))


@of("found_out")
def test_the_days_that_a_check_doubts(case):
    checks = [check(*one) for one in case["checks"]]
    found = {day: found_out(checks, day) for day in case["days"]}
    assert {day: one and one.id for day, one in found.items()} == case["days"]
    last = distrusted_by(checks)
    assert (last and last.id) == case["distrusted_by"]


def check(name: str, on: str, is_good: bool) -> Check:
    points = (Point(20, 20 if is_good else 18.2),)
    made = Check(name, on, "N·m", points, 4)
    assert made.is_good == is_good
    return made


def test_the_days_of_a_check_are_those_that_it_doubts():
    for case in VECTORS["found_out"]:
        checks = [check(*one) for one in case["checks"]]
        bad = [one for one in checks if not one.is_good]
        for day, name in case["days"].items():
            if len(bad) == 1:
                first, last = span(checks, bad[0])
                assert (first <= day <= last) == (name is not None)


def test_the_worst_point_is_the_one_that_is_off_the_most():
    assert worst([Point(20, 19), Point(60, 66), Point(100, 99)]) == Point(60, 66)
    assert worst([Point(20, 19), Point(0, 5)]) == Point(0, 5)
    assert round(off_percent(Point(60, 66)), 9) == 10


def test_figures_are_rounded_as_the_phone_rounds_them():
    assert [shown(one) for one in (23.66, 23.665, 0.005, 9.0)] == ["23.66", "23.67", "0.01", "9"]
