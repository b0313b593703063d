"""
Decimals as they were read: compared exactly, as text. `26.10` is 26.1, and 0.3 is 0.3.

A float would not do: the phone and the server must judge a reading at its limit alike, for ever.
"""

from __future__ import annotations

from decimal import Decimal

from twoturns.ledger.forms import DECIMAL, is_formed


def is_decimal(text: object) -> bool:
    """Tell whether this is a decimal of formats.md, section 2."""
    return is_formed(text, DECIMAL)


def compare(a: str, b: str) -> int:
    """
    Return -1, 0 or 1 as `a` is below, equal to or above `b`.

    >>> compare("26.50", "26.5"), compare("-0.1", "0"), compare("9", "10.0")
    (0, -1, -1)
    """
    left, right = Decimal(a), Decimal(b)  # comparing is exact: no context rounds it
    return (left > right) - (left < right)


def within(value: str, low: str | None, high: str | None) -> bool:
    """Tell whether a reading is a decimal and inside its limits, which belong to the window."""
    return (
        is_decimal(value)
        and (low is None or compare(value, low) >= 0)
        and (high is None or compare(value, high) <= 0)
    )
