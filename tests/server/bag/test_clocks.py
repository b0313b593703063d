"""What a bag says of clocks, of limits, and other small words."""

import pytest

from ledger_entries import key, sign
from twoturns.bag import clocks, readings
from twoturns.ledger.record import Record


def record(at, received, offset_ms):
    return Record(received, offset_ms, sign(key(3), "job.taken", at=at))


NOON, LATER = "2026-11-24T12:00:00.000Z", "2026-11-24T15:14:00.000Z"


@pytest.mark.parametrize(
    ("at", "received", "offset_ms", "waited_ms"),
    [
        (NOON, LATER, None, 11_640_000),
        (NOON, LATER, 0, 11_640_000),
        # The device's clock was a minute ahead: it really was 11:59 when it wrote noon.
        (NOON, LATER, 60_000, 11_700_000),
        (LATER, NOON, 0, -11_640_000),
        ("2026-13-45T99:00:00.000Z", NOON, 0, None),
    ],
)
def test_how_long_an_entry_waited_on_its_device(at, received, offset_ms, waited_ms):
    assert clocks.waited_ms(record(at, received, offset_ms)) == waited_ms


@pytest.mark.parametrize(
    ("at", "offset_ms"),
    [
        ("0001-01-01T00:00:00.000Z", 60_000),
        ("9999-12-31T23:59:59.999Z", -60_000),
        ("2026-13-45T99:00:00.000Z", 0),
    ],
)
def test_a_day_outside_of_the_calendar_is_that_of_the_receipt(at, offset_ms):
    assert clocks.day_of(record(at, NOON, offset_ms)) == NOON[:10]


def test_a_clock_that_cannot_be_right_is_told_and_decides_nothing():
    clock = clocks.of_device(
        [
            record(NOON, LATER, 250),
            record("2029-01-01T00:00:00.000Z", LATER, -40),
            record("2026-13-45T99:00:00.000Z", LATER, None),
        ]
    )
    assert clocks.said_of(clock) == (
        "3 entries; received at most 3 h 14 min after its own time; 1 of them dated after it "
        "was received; 1 of them dated with no time at all; its clock was -40 to +250 ms off, "
        "measured"
    )


def test_a_clock_that_was_never_measured_is_called_so():
    clock = clocks.of_device([record(NOON, LATER, None)])
    assert clocks.said_of(clock).endswith("its clock was not measured")


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        ("24.96", "27.04", "24.96 to 27.04"),
        ("3", None, "at least 3"),
        (None, "0.05", "at most 0.05"),
        ("72", "72", "72"),
        (None, None, "no limit"),
    ],
)
def test_limits_in_words(low, high, said):
    assert readings.limits(low, high) == said
