"""The string law against worked answers of others, and the demo drives' own figures."""

import math

import pytest

from twoturns.trade.tension import (
    frequency_window_hz,
    span_frequency_hz,
    span_tension_n,
    tension_uncertainty,
)


def test_a_worked_school_answer():
    """UK A-level answer: 1.25 g over 1.60 m, 1.15 m between the bridges, 50 Hz: 10.3 N."""
    assert span_tension_n(50, 1.15, 1.25e-3 / 1.60) == pytest.approx(10.332, abs=5e-4)


def test_a_text_problem():
    """A 0.81 m string of 2 g at 394 Hz: 1005.9 N."""
    assert span_tension_n(394, 0.81, 2e-3 / 0.81) == pytest.approx(1005.93, abs=5e-3)


DEMO = [(330, 0.1874, 0.131, 133.9), (265, 0.1578, 0.098, 164.8), (380, 0.2078, 0.108, 142.7)]


@pytest.mark.parametrize(("tension_n", "span_m", "mass_kg_per_m", "hz"), DEMO)
def test_the_demo_drives_and_back(tension_n, span_m, mass_kg_per_m, hz):
    found = span_frequency_hz(tension_n, span_m, mass_kg_per_m)
    assert found == pytest.approx(hz, abs=0.06)
    assert span_tension_n(found, span_m, mass_kg_per_m) == pytest.approx(tension_n, rel=1e-12)


def test_the_window_is_that_of_the_root():
    window = frequency_window_hz(330, 15, 0.1874, 0.131)
    assert window == pytest.approx((123.5, 133.9, 143.6), abs=0.05)


def test_uncertainty_worst_and_rms():
    assert tension_uncertainty(0.01, 0.005, 0.02) == pytest.approx((0.05, 0.03))
    assert tension_uncertainty(0.02, 0.02, 0.05) == pytest.approx((0.13, 0.075), abs=1e-3)


@pytest.mark.parametrize("wrong", [0, -1, math.nan, math.inf])
def test_a_figure_that_cannot_be_is_refused_by_name(wrong):
    with pytest.raises(ValueError, match="span_m must be finite and above zero"):
        span_frequency_hz(330, wrong, 0.131)
    with pytest.raises(ValueError, match="frequency_hz must be finite and above zero"):
        span_tension_n(wrong, 0.2, 0.131)
    with pytest.raises(ValueError, match="within_percent must be above 0"):
        frequency_window_hz(330, -abs(wrong), 0.2, 0.131)
