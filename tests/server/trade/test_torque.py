"""The adaptor formula against printed examples and a moment balance; wrenches and their limits."""

import math
import random

import pytest

from ledger_vectors import vectors
from twoturns.trade.torque import (
    Wrench,
    staged,
    star,
    wrench_fits,
    wrench_setting_nm,
)

VECTORS = vectors("torque")


@pytest.mark.parametrize("case", VECTORS["settings"], ids=lambda case: case["source"])
def test_the_setting_through_an_adaptor(case):
    found = wrench_setting_nm(case["torque"], case["wrench"], case["adaptor"], case["angle_deg"])
    assert found == pytest.approx(case["setting"], abs=case["within"])


def test_the_setting_agrees_with_a_moment_balance():
    """
    Force across the wrench at the hand; moments about square and fastener from vectors.

    The wrench clicks by the moment about its square, the fastener feels that about itself.
    """
    rng = random.Random(5)
    for _ in range(200):
        wrench, adaptor = rng.uniform(150, 600), rng.uniform(0, 120)
        angle, force = rng.uniform(-180, 180), rng.uniform(10, 300)
        square = (wrench, 0.0)  # hand at the origin, wrench along x
        fastener = (
            square[0] + adaptor * math.cos(math.radians(angle)),
            adaptor * math.sin(math.radians(angle)),
        )
        about_square = force * square[0]  # force along y at the origin
        about_fastener = force * fastener[0]
        assert wrench_setting_nm(about_fastener, wrench, adaptor, angle) == pytest.approx(
            about_square, rel=1e-12
        )


WRONG = [
    ((0, 400, 50, 0), "torque_nm must be finite and above zero"),
    ((25, -400, 50, 0), "wrench_mm must be finite and above zero"),
    ((25, math.nan, 50, 0), "wrench_mm must be finite and above zero"),
    ((25, 400, -1, 0), "adaptor_mm must be finite and not below zero"),
    ((25, 400, 50, math.inf), "angle_deg must be -360 to 360"),
    ((25, 400, 50, 1000), "angle_deg must be -360 to 360"),
    ((25, 400, 50, math.nan), "angle_deg must be -360 to 360"),
    ((25, 100, 100, 180), "reaches back to the hand"),
]


@pytest.mark.parametrize(("figures", "words"), WRONG)
def test_figures_that_cannot_be_are_refused(figures, words):
    with pytest.raises(ValueError, match=words):
        wrench_setting_nm(*figures)


@pytest.mark.parametrize("case", VECTORS["wrenches"], ids=lambda case: case["message"])
def test_a_wrench_is_judged(case):
    found = wrench_fits(Wrench(**case["wrench"]), case["setting_nm"], case["today"])
    assert (found.code, found.message) == (case["code"], case["message"])
    assert found.fits == (case["code"] == "wrench-fits")
    assert found.hint.endswith(".")


def test_no_wrench_is_fit_for_what_is_no_number():
    good = Wrench(high_nm=100, low_nm=10, calibration_due="2027-02-01")
    for nothing in (math.nan, math.inf, -math.inf):
        with pytest.raises(ValueError, match="setting_nm must be finite"):
            wrench_fits(good, nothing, "2026-11-24")
    for nothing in (-1, 0):
        assert not wrench_fits(good, nothing, "2026-11-24").fits


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"high_nm": math.nan}, "high_nm must be finite and above zero"),
        ({"high_nm": 0}, "high_nm must be finite and above zero"),
        ({"high_nm": 100, "low_nm": -1}, "low_nm must be above zero and at most 100"),
        ({"high_nm": 100, "low_nm": 120}, "low_nm must be above zero and at most 100"),
        ({"high_nm": 100, "cycles": -1}, "cycles must not be below zero"),
    ],
)
def test_a_wrench_that_cannot_be_is_refused(wrong, says):
    with pytest.raises(ValueError, match=says):
        Wrench(**wrong)


def test_stages_go_round_all_bolts_before_the_next():
    """Common practice, no source: all to the first torque, all to the next, then the angle."""
    pulls = staged("abc", [(20, None), (35, None), (None, 90)])
    assert [each.bolt for each in pulls] == list("abcabcabc")
    assert [each.nm for each in pulls] == [20] * 3 + [35] * 3 + [None] * 3
    assert {each.angle_deg for each in pulls[6:]} == {90}


@pytest.mark.parametrize(
    ("stages", "says"),
    [
        ([], "needs bolts and stages"),
        ([(35, None), (20, None)], "asks for 20 N·m after 35"),
        ([(20, None), (None, 90), (40, None)], "asks for 40 N·m after an angle"),
        ([(None, 90)], "not snug"),
        ([(20, None), (None, -5)], "not snug"),
        ([(20, 90)], "one torque, or one angle"),
        ([(0, None)], "asks for 0 N·m"),
    ],
)
def test_stages_that_cannot_be_are_refused(stages, says):
    with pytest.raises(ValueError, match=says):
        staged("ab", stages)


@pytest.mark.parametrize("count", range(1, 15))
def test_a_star_names_each_bolt_once_and_never_a_neighbour_first(count):
    order = star(count)
    assert sorted(order) == list(range(1, count + 1))
    if count > 3:
        first, second = order[:2]
        assert 2 <= (second - first) % count <= count - 2
