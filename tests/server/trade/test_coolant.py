"""Coolant against CoolProp, published freeze points, ASHRAE's worked example and a pouring loop."""

import random

import pytest
from scipy.interpolate import PchipInterpolator

from twoturns.trade import coolant


def coolprop_c(percent):
    """Where CoolProp's fit INCOMP::AEG (by volume) freezes, °C."""
    from CoolProp.CoolProp import PropsSI  # takes a second: only who asks it waits

    fluid = f"INCOMP::AEG[{percent / 100}]"
    return PropsSI("T_freeze", "T", 293.15, "P", 101_325, fluid) - 273.15


@pytest.mark.parametrize("percent", range(10, 60))
def test_the_table_is_near_coolprop_and_never_colder_not_even_between_its_rows(percent):
    for part in (0, 0.25, 0.5, 0.75, 1):
        ours, theirs = coolant.freeze_point_c(percent + part), coolprop_c(percent + part)
        assert ours == pytest.approx(theirs, abs=3)
        assert ours >= theirs
        assert coolant.shown_freeze_point_c(percent + part) >= theirs


@pytest.mark.parametrize(
    ("percent", "published"),
    # The public table of ASTM D1177; at 60 % CoolProp is warmer.
    [(10, -3.4), (20, -7.9), (30, -13.7), (40, -23.5), (50, -36.8)],
)
def test_it_is_as_warm_as_the_warmest_published(percent, published):
    assert coolant.freeze_point_c(percent) == published
    assert coolant.shown_freeze_point_c(percent) == int(published)


def test_between_the_rows_it_is_as_warm_as_a_curve_through_the_published_ones():
    published = [(0, 0), (10, -3.4), (20, -7.9), (30, -13.7), (40, -23.5), (50, -36.8)]
    curve = PchipInterpolator(*zip(*published, strict=True))
    for quarter in range(4 * 50 + 1):
        assert coolant.freeze_point_c(quarter / 4) >= curve(quarter / 4) - 0.1


def test_more_glycol_freezes_colder_as_far_as_the_table_goes():
    points = [coolant.freeze_point_c(percent / 4) for percent in range(4 * 60 + 1)]
    assert points == sorted(points, reverse=True)


def test_parts_by_mass_become_parts_by_volume():
    """ASHRAE 1993, worked example: 1,000 gallons at 30 % by mass take 277.6 gallons of glycol."""
    assert 10 * coolant.volume_percent(30) == pytest.approx(277.6, abs=0.1)
    # Own, by the densities of both liquids at 20 °C (1113.5 and 998.2 kg/m³).
    for mass, volume in ((30, 27.76), (40, 37.41), (50, 47.27)):
        assert coolant.volume_percent(mass) == pytest.approx(volume, abs=0.02)


def test_a_fill_gives_what_was_wanted():
    rng = random.Random(5)
    for _ in range(200):
        system, before = rng.uniform(4, 12), rng.uniform(0, 60)
        drained, wanted = rng.uniform(0.3, 1) * system, rng.uniform(0, 60)
        fill = coolant.fill_for(system, drained, before, wanted)
        assert fill.concentrate_l + fill.water_l == pytest.approx(drained)
        glycol = (system - drained) * before / 100 + fill.concentrate_l
        assert 100 * glycol / system == pytest.approx(fill.percent)
        assert fill.is_reached == (abs(fill.percent - wanted) < 1e-9)


def test_what_one_fill_cannot_reach_is_said():
    fill = coolant.fill_for(8, 2, 0, 50)
    assert (fill.is_reached, fill.water_l, fill.percent) == (False, 0, 25)
    assert "drain again" in fill.says
    assert not coolant.fill_for(8, 2, 60, 30).is_reached


def test_the_least_mix_for_a_cold_night():
    for wanted in range(-50, 1):
        percent = coolant.percent_for(wanted)
        assert coolant.freeze_point_c(percent) <= wanted
        assert percent == 0 or coolant.freeze_point_c(percent - 1) > wanted


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (lambda: coolant.freeze_point_c(61), "0 to 60 %"),
        (lambda: coolant.freeze_point_c(float("nan")), "0 to 60 %"),
        (lambda: coolant.percent_for(-60), "no mix holds"),
        (lambda: coolant.fill_for(8, 9, 20, 50), "9 L cannot come out"),
        (lambda: coolant.fill_for(0, 0, 20, 50), "above zero"),
        (lambda: coolant.fill_for(8, 5, 20, 70), "freezes warmer again"),
        (lambda: coolant.fill_for(8, 5, 101, 50), "0 to 100 %"),
        (lambda: coolant.volume_percent(-1), "by mass"),
    ],
)
def test_mixes_that_cannot_be_are_refused(wrong, says):
    with pytest.raises(ValueError, match=says):
        wrong()
