"""
What a procedure may ask to be measured, drawn and waited for: windows that a value can lie in,
units that fit, tools that exist. Each of these faults would compile, and stop or deceive a phone.
"""

from __future__ import annotations

from collections.abc import Collection
from decimal import Decimal
from typing import Any

from twoturns.procedure.language.names import Names
from twoturns.procedure.language.source import Path
from twoturns.procedure.language.vocabulary import (
    OUTLINES,
    READING_UNITS,
    SIGNS,
    TOOL_UNITS,
    WAIT_UNIT,
)

# A reason is for somebody who was not there: "none" or "n/a" gives none.
FEWEST_WORDS = 3


def check_measures(names: Names, data: dict[str, Any]) -> None:
    """Refuse, at its line, all that no phone can show or no hand can measure."""
    for at, step in enumerate(data["steps"]):
        path: Path = ("steps", at)
        if "caution" in step:
            _check_word(names, (*path, "caution", "sign"), "sign", step["caution"]["sign"], SIGNS)
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


def _check_window(names: Names, place: Path, proof: dict[str, Any]) -> None:
    """A wait's `low` is its length, and has no other side."""
    low, high, target = (
        None if (text := proof.get(word)) is None else Decimal(text)
        for word in ("low", "high", "target")
    )
    if low is not None and high is not None and low > high:
        names.refuse(
            (*place, "low"),
            f"no value lies from {low} up to {high}",
            "Write the smaller limit under low and the larger under high.",
            "window",
        )
    elif target is not None and (
        (low is not None and target < low) or (high is not None and target > high)
    ):
        names.refuse(
            (*place, "target"),
            f"the target {target} lies outside its own limits",
            "Mend the target, or the limits that it is judged by.",
            "target",
        )
    elif proof["kind"] == "wait" and low is not None and low <= 0:
        names.refuse((*place, "low"), f"a wait of {low} is none", "Write how many minutes.", "wait")
    elif proof["kind"] == "count" and (target is None or target < 0 or target % 1):
        names.refuse(
            (*place, "target"), f"nothing is counted to {target}", "Write a whole number.", "count"
        )


def _check_unit(names: Names, place: Path, proof: dict[str, Any]) -> None:
    unit, tool = proof.get("unit"), proof.get("tool")
    if proof["kind"] == "wait" and unit != WAIT_UNIT:
        names.refuse(
            (*place, "unit"),
            f"a wait is counted in {WAIT_UNIT}, not in {unit}",
            f"The phone counts minutes. Write them: low: 60, unit: {WAIT_UNIT} for an hour.",
            "wait-unit",
        )
    if proof["kind"] == "reading":
        _check_word(names, (*place, "unit"), "unit", unit or "", READING_UNITS)
    if tool is None:
        return
    _check_word(names, (*place, "tool"), "type of tool", tool, TOOL_UNITS)
    wanted = TOOL_UNITS.get(tool)
    if wanted is not None and unit != wanted:
        names.refuse(
            (*place, "unit"),
            f"a {tool} reads in {wanted}, not in {unit}",
            f"Write unit: {wanted} with limits in it, or name another tool.",
            "tool-unit",
        )


def _check_range(names: Names, path: Path, tool: dict[str, Any]) -> None:
    if "low" in tool and Decimal(tool["low"]) >= Decimal(tool["high"]):
        names.refuse(
            (*path, "low"),
            f"a tool does not reach from {tool['low']} to {tool['high']}",
            "Write the smaller end under low and the larger under high.",
            "window",
        )


def _check_reason(names: Names, path: Path, because: str) -> None:
    if sum(any(map(str.isalpha, word)) for word in because.split()) < FEWEST_WORDS:
        names.refuse(
            path,
            f"'{because}' does not say why '{path[-1]}' is absent",
            "What is absent silences a house rule. Say in a sentence why the engine has none.",
            "absent-reason",
        )


def _check_word(names: Names, path: Path, what: str, word: str, known: Collection[str]) -> None:
    if word not in known:
        names.unknown(path, what, word, known)
