"""The string law against worked answers of others, and the demo drives' own figures."""

import math
import random

import numpy as np
import pytest
from scipy.linalg import eigh

from twoturns.trade.tension import (
    frequency_window_hz,
    sensitivities,
    span_frequency_hz,
    span_tension_n,
    stiff_span_frequency_hz,
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


def beam_hz(tension_n, span_m, mass_kg_per_m, stiffness_nm2, *, clamped, elements=96):
    """Lowest note of a beam under tension: Hermite elements, solved by SciPy."""
    step = span_m / elements
    bent = np.array(
        [
            [12, 6 * step, -12, 6 * step],
            [6 * step, 4 * step**2, -6 * step, 2 * step**2],
            [-12, -6 * step, 12, -6 * step],
            [6 * step, 2 * step**2, -6 * step, 4 * step**2],
        ]
    )
    pulled = np.array(
        [
            [36, 3 * step, -36, 3 * step],
            [3 * step, 4 * step**2, -3 * step, -(step**2)],
            [-36, -3 * step, 36, -3 * step],
            [3 * step, -(step**2), -3 * step, 4 * step**2],
        ]
    )
    heavy = np.array(
        [
            [156, 22 * step, 54, -13 * step],
            [22 * step, 4 * step**2, 13 * step, -3 * step**2],
            [54, 13 * step, 156, -22 * step],
            [-13 * step, -3 * step**2, -22 * step, 4 * step**2],
        ]
    )
    size = 2 * (elements + 1)
    stiffness, mass = np.zeros((size, size)), np.zeros((size, size))
    for at in range(0, 2 * elements, 2):
        part = slice(at, at + 4)
        stiffness[part, part] += bent * stiffness_nm2 / step**3 + pulled * tension_n / 30 / step
        mass[part, part] += heavy * mass_kg_per_m * step / 420
    held = {0, size - 2} | ({1, size - 1} if clamped else set())
    free = [n for n in range(size) if n not in held]
    roots = eigh(stiffness[np.ix_(free, free)], mass[np.ix_(free, free)], eigvals_only=True)
    return math.sqrt(roots[0]) / math.tau


@pytest.mark.parametrize("clamped", [False, True])
def test_a_belt_that_bends_agrees_with_finite_elements(clamped):
    rng = random.Random(12)
    for _ in range(40):
        span = rng.uniform(100, 500), rng.uniform(0.07, 0.3), rng.uniform(0.05, 0.2)
        stiffness = rng.uniform(0.002, 0.1)
        ours = stiff_span_frequency_hz(*span, stiffness, clamped=clamped)
        assert ours == pytest.approx(beam_hz(*span, stiffness, clamped=clamped), rel=1e-5)
        assert ours > span_frequency_hz(*span)


def test_a_belt_that_hardly_bends_is_a_string():
    for clamped in (False, True):
        found = stiff_span_frequency_hz(400, 0.2, 0.1, 1e-7, clamped=clamped)
        assert found == pytest.approx(span_frequency_hz(400, 0.2, 0.1), rel=2e-3)


def test_sensitivities_are_small_steps_of_the_formula():
    at = span_tension_n(80, 0.25, 0.110)
    found = sensitivities(80, 0.25, 0.110)
    assert found["per_hz"] == pytest.approx(
        (span_tension_n(80.001, 0.25, 0.110) - at) / 0.001, rel=1e-4
    )
    assert found["per_mm"] == pytest.approx(
        (span_tension_n(80, 0.250001, 0.110) - at) / 0.001, rel=1e-4
    )
    assert found["per_g_per_m"] == pytest.approx(
        (span_tension_n(80, 0.25, 0.110001) - at) / 0.001, rel=1e-4
    )
