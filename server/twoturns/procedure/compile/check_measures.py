"""
What a procedure may ask to be measured, drawn and waited for: windows that a value can lie in,
units that fit, tools that exist. Each of these faults would compile, and stop or deceive a phone.
"""

from __future__ import annotations

from collections.abc import Collection
from decimal import Decimal

from twoturns.procedure.language.names import Names
from twoturns.procedure.language.source import Path, Source
from twoturns.procedure.language.vocabulary import (
    DRAWINGS,
    OUTLINES,
    READING_UNITS,
    SIGNS,
    TOOL_UNITS,
    WAIT_UNIT,
)
from twoturns.words import t
from twoturns.words.en.procedure.compile import check_measures as words

# A reason is for somebody who was not there: "none" or "n/a" gives none.
FEWEST_WORDS = 3


def check_measures(names: Names, data: Source) -> None:
    """Refuse, at its line, all that no phone can show or no hand can measure."""
    for at, step in enumerate(data["steps"]):
        path: Path = ("steps", at)
        if "caution" in step:
            _check_word(names, (*path, "caution", "sign"), "sign", step["caution"]["sign"], SIGNS)
        if "drawn" in step:
            _check_word(names, (*path, "drawn"), "drawing", step["drawn"], DRAWINGS)
        for number, proof in enumerate(step["proof"]):
            place = (*path, "proof", number)
            _check_window(names, place, proof)
            _check_unit(names, place, proof)
    for slot, tool in data["tools"].items():
        path = ("tools", slot)
        _check_word(names, (*path, "outline"), "outline", tool["outline"], OUTLINES)
        _check_range(names, path, tool)
    for word, because in data["absent"].items():
        _check_reason(names, ("absent", word), because)


def _check_window(names: Names, place: Path, proof: Source) -> None:
    """A wait's `low` is its length, and has no other side."""
    low, high, target = (
        None if (text := proof.get(word)) is None else Decimal(text)
        for word in ("low", "high", "target")
    )
    if low is not None and high is not None and low > high:
        names.refuse(
            (*place, "low"),
            t(words.LIMITS_SWAPPED, low=low, high=high),
            t(words.LIMITS_SWAPPED_HINT),
            "window",
        )
    elif target is not None and (
        (low is not None and target < low) or (high is not None and target > high)
    ):
        names.refuse(
            (*place, "target"),
            t(words.TARGET_OUTSIDE_LIMITS, target=target),
            t(words.TARGET_OUTSIDE_LIMITS_HINT),
            "target",
        )
    elif proof["kind"] == "wait" and low is not None and low <= 0:
        names.refuse(
            (*place, "low"), t(words.WAIT_OF_NONE, low=low), t(words.WAIT_OF_NONE_HINT), "wait"
        )
    elif proof["kind"] == "count" and (target is None or target < 0 or target % 1):
        names.refuse(
            (*place, "target"),
            t(words.COUNT_NOT_WHOLE, target=str(target)),
            t(words.COUNT_NOT_WHOLE_HINT),
            "count",
        )


def _check_unit(names: Names, place: Path, proof: Source) -> None:
    unit, tool = proof.get("unit"), proof.get("tool")
    if proof["kind"] == "wait" and unit != WAIT_UNIT:
        names.refuse(
            (*place, "unit"),
            t(words.WAIT_UNIT_WRONG, wait_unit=WAIT_UNIT, unit=str(unit)),
            t(words.WAIT_UNIT_WRONG_HINT, wait_unit=WAIT_UNIT),
            "wait-unit",
        )
    if proof["kind"] == "reading":
        _check_word(names, (*place, "unit"), "unit", unit or "", READING_UNITS)
    if tool is None:
        return
    _check_word(names, (*place, "tool"), t(words.TYPE_TOOL), tool, TOOL_UNITS)
    wanted = TOOL_UNITS.get(tool)
    if wanted is not None and unit != wanted:
        names.refuse(
            (*place, "unit"),
            t(words.TOOL_UNIT_WRONG, tool=tool, wanted=wanted, unit=str(unit)),
            t(words.TOOL_UNIT_WRONG_HINT, wanted=wanted),
            "tool-unit",
        )


def _check_range(names: Names, path: Path, tool: Source) -> None:
    if "low" in tool and Decimal(tool["low"]) >= Decimal(tool["high"]):
        names.refuse(
            (*path, "low"),
            t(words.TOOL_RANGE_SWAPPED, low=tool["low"], high=tool["high"]),
            t(words.TOOL_RANGE_SWAPPED_HINT),
            "window",
        )


def _check_reason(names: Names, path: Path, because: str) -> None:
    if sum(any(map(str.isalpha, word)) for word in because.split()) < FEWEST_WORDS:
        names.refuse(
            path,
            t(words.ABSENT_UNEXPLAINED, because=because, path=path[-1]),
            t(words.ABSENT_UNEXPLAINED_HINT),
            "absent-reason",
        )


def _check_word(names: Names, path: Path, what: str, word: str, known: Collection[str]) -> None:
    if word not in known:
        names.unknown(path, what, word, known)
