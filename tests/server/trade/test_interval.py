"""Intervals: dates against W3C's rule and NumPy's months, slopes against SciPy, odd odometers."""

import random
from datetime import date, timedelta

import numpy as np
import pytest
from scipy.stats import theilslopes

from twoturns.trade.interval import Due, Interval, Reading, _km_a_day, due, forecast, why_due

DAY = date(2026, 11, 24)


@pytest.mark.parametrize(
    ("start", "months", "end"),
    [
        # W3C XML Schema part 2, appendix E.2 (from memory): its two days that are not there.
        ("2000-03-31", 1, "2000-04-30"),
        ("2000-03-30", 1, "2000-04-30"),
        # By the same rule: leap years, a century that is none, the turn of a year.
        ("2024-02-29", 12, "2025-02-28"),
        ("2026-01-31", 1, "2026-02-28"),
        ("2026-11-24", 60, "2031-11-24"),
        ("2023-08-31", 6, "2024-02-29"),
        ("2096-02-29", 48, "2100-02-28"),
        ("2025-12-31", 2, "2026-02-28"),
        ("2026-12-31", 12, "2027-12-31"),
    ],
)
def test_months_are_added_to_a_date(start, months, end):
    found = due(0, date.fromisoformat(start), Interval(months=months))
    assert found == Due(None, date.fromisoformat(end))


def test_months_agree_with_those_of_numpy():
    rng = random.Random(6)
    for _ in range(200):
        start = date(2000, 1, 1) + timedelta(days=rng.randrange(12_000))
        months = rng.randint(1, 240)
        month = np.datetime64(start, "M") + months
        last = (month + 1).astype("datetime64[D]") - 1
        wanted = min(month.astype("datetime64[D]") + start.day - 1, last)
        assert np.datetime64(due(0, start, Interval(months=months)).on) == wanted


def test_whichever_comes_first_and_hard_use():
    limit = due(60_000, date(2022, 5, 1), Interval(km=90_000, months=72))
    assert limit == Due(150_000, date(2028, 5, 1))
    slow = [Reading(date(2022, 5, 1), 60_000)]
    assert why_due(limit, slow, date(2028, 4, 30)) is None
    assert "the time was over" in why_due(limit, slow, date(2028, 5, 1))
    last = [*slow, Reading(date(2023, 1, 1), 149_999)]
    assert "since about 2023-01-01" in why_due(limit, last, date(2023, 1, 1))
    over = [*slow, Reading(date(2023, 1, 1), 150_000)]
    assert "the limit is 150000 km" in why_due(limit, over, date(2023, 1, 1))
    assert due(60_000, date(2022, 5, 1), Interval(90_000, 72, severe=0.5)) == Due(
        105_000, date(2025, 5, 1)
    )


def test_the_slope_is_that_of_theil_and_sen():
    rng = random.Random(7)
    for _ in range(300):
        days = sorted(rng.sample(range(4000), rng.randint(2, 9)))
        km = [rng.randint(0, 200_000) for _ in days]
        readings = [Reading(DAY + timedelta(days=d), k) for d, k in zip(days, km, strict=True)]
        assert _km_a_day(readings) == pytest.approx(theilslopes(km, days)[0], abs=1e-9)


def yearly(*km):
    return [Reading(date(2020 + n, 6, 1), each) for n, each in enumerate(km)]


def test_a_steady_car_is_forecast_to_the_day():
    readings = [Reading(date(2024, 1, 1) + timedelta(days=n * 100), 5_000 * n) for n in range(5)]
    found = forecast(Due(60_000, None), readings, date(2025, 2, 4))
    assert found.on == date(2024, 1, 1) + timedelta(days=1200)
    assert (found.by, found.km_a_day, found.oddities) == ("distance", 50, ())
    band = (found.latest - found.on).days
    assert found.on - found.earliest == timedelta(days=band)
    assert band == pytest.approx(0.25 * 800 + 15, abs=1)


def test_the_date_comes_first_for_a_car_that_stands():
    found = forecast(Due(150_000, date(2028, 5, 1)), yearly(60_000, 62_000, 64_000), DAY)
    assert (found.on, found.by) == (date(2028, 5, 1), "date")
    far = forecast(Due(10**9, None), yearly(0, 1), DAY)
    assert far.on.year < 2130


def test_a_forecast_is_seldom_far_off():
    """Our band holds the true day in nearly all of 300 simulated cars; own simulation."""
    rng = random.Random(8)
    held = 0
    for _ in range(300):
        rate = rng.uniform(8_000, 30_000) / 365
        day, km, log = date(2015, 1, 1), 0.0, []
        for _ in range(130):
            log.append(Reading(day, round(km)))
            day += timedelta(days=30)
            km += max(0.0, rate * 30 * rng.gauss(1, 0.3))
        true = next(each.on for each in log if each.km >= 60_000)
        cut = next(n for n, each in enumerate(log) if each.km >= 40_000)
        read = sorted(rng.sample(log[: cut + 1], 5), key=lambda each: each.on)
        found = forecast(Due(60_000, None), read, read[-1].on)
        held += found.earliest <= true <= found.latest
    assert held / 300 > 0.9


@pytest.mark.parametrize("wrong", range(1, 4))
def test_one_reading_that_runs_backward_is_left_out_and_named(wrong):
    km = [20_000, 40_000, 60_000, 80_000, 100_000]
    km[wrong] = 5_000
    found = forecast(Due(160_000, None), yearly(*km), DAY)
    assert [each.code for each in found.oddities] == ["odometer-backward"]
    assert "5000 km" in found.oddities[0].says
    assert found.km_a_day == pytest.approx(20_000 / 365.25, rel=0.01)


def test_an_odometer_that_runs_backward_again_and_again_gives_no_rate():
    found = forecast(Due(160_000, DAY), yearly(90_000, 50_000, 70_000, 30_000, 40_000), DAY)
    assert [each.code for each in found.oddities] == ["odometer-inconsistent"]
    assert (found.on, found.by, found.km_a_day) == (DAY, "date", None)
    nothing = forecast(Due(160_000, None), yearly(90_000, 50_000), DAY)
    assert (nothing.on, nothing.by) == (None, "unknown")


def test_miles_and_impossible_days_are_named():
    assert codes(yearly(100_000, 160_934)) == ["odometer-miles"]
    near = [Reading(DAY, 100_000), Reading(DAY + timedelta(days=2), 104_000)]
    assert codes(near) == ["odometer-fast"]
    assert codes(yearly(20_000, 40_000, 61_000)) == []


def codes(readings):
    return [each.code for each in forecast(Due(500_000, None), readings, DAY).oddities]


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({}, "distance, a time, or both"),
        ({"km": 0}, "km must be above zero"),
        ({"months": -1}, "months must be above zero"),
        ({"km": 1, "severe": 0}, "part for hard use"),
    ],
)
def test_intervals_that_cannot_be_are_refused(wrong, says):
    with pytest.raises(ValueError, match=says):
        Interval(**wrong)
