"""
What marks and turns ask of a sheet before they compute with it: it may be anything somebody sent.

Whole numbers only, in bounds within which no sum overflows and no division fails.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from twoturns.instruments.refusal import Refusal
from twoturns.words import t
from twoturns.words.en.instruments import sheet as words

_TAKE_ANEW = t(words.TAKE_ANEW)


def unfit(sheet: Mapping[str, Any], by: str, edition: int, *, has_form: bool) -> Refusal | None:
    """Say why a sheet cannot be computed anew here, or None."""
    told = sheet.get("edition")
    if sheet.get("v") != 1 or sheet.get("by") != by or not is_whole(told, 1, 2**31) or not has_form:
        return Refusal("bad-sheet", t(words.BAD_SHEET), _TAKE_ANEW)
    if told != edition:
        message = t(words.OTHER_EDITION, told=str(told), edition=edition)
        return Refusal("other-edition", message, t(words.OTHER_EDITION_HINT))
    return None


def is_whole(value: object, low: int, high: int) -> bool:
    """Tell whether this is a whole number between two others, and no truth value."""
    return type(value) is int and low <= value <= high


def are_whole(values: object, count: int, most: int) -> bool:
    """Tell whether these are so many whole numbers, none larger than `most` either way."""
    return (
        isinstance(values, list)
        and len(values) == count
        and all(is_whole(value, -most, most) for value in values)
    )
