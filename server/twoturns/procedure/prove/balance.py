"""
What must balance on the straight job, whatever way it takes: tools come back, single-use parts are
as many as are used, torques are within a wrench's range, and a wrong belt is told from the right.

Read off the bundle alone; what depends on the states that are reached is `prove`.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.phrases import Words, listed
from twoturns.trade import drive as geometry

# The values by which house rules and procedures call a fastener tight.
TIGHT = ("torqued", "final")


def unbalanced(bundle: dict[str, Any], words: Words) -> list[Finding]:
    """Return what does not balance."""
    return [
        *_tools(bundle, words),
        *_tools_counted(bundle, words),
        *_parts(bundle, words),
        *_torques_out_of_reach(bundle, words),
        *_tightened_without_torque(bundle, words),
    ]


def _straight(bundle: dict[str, Any]) -> Iterator[tuple[int, dict[str, Any]]]:
    """The steps in listed order, without the ways back."""
    return ((at, step) for at, step in enumerate(bundle["steps"]) if not step["undo"])


def _tools(bundle: dict[str, Any], words: Words) -> Iterator[Finding]:
    """A tool that is out at the end is in the engine; one that was never out was never counted."""
    labels = {tool["slot"]: tool["label"] for tool in bundle["tools"]}
    out: dict[str, int] = {}
    for at, step in _straight(bundle):
        out.update(dict.fromkeys(step["tools_out"], at))
        for slot in step["tools_in"]:
            if out.pop(slot, None) is None:
                yield Finding(
                    "tool-in",
                    f"the {labels[slot]} goes back at '{words.step(at)}' and was never out",
                    "List it under tools_out of the step that takes it.",
                    line=words.line("steps", at),
                )
    for slot, at in out.items():
        yield Finding(
            "tool-out",
            f"the {labels[slot]} goes out at '{words.step(at)}' and is out at the end",
            "List it under tools_in of the step that puts it back.",
            line=words.line("steps", at),
        )


def _tools_counted(bundle: dict[str, Any], words: Words) -> Iterator[Finding]:
    """A tool that is out cannot be ticked where the tools are counted: the step never ends."""
    labels = {tool["slot"]: tool["label"] for tool in bundle["tools"]}
    out: set[str] = set()
    for at, step in _straight(bundle):
        out |= set(step["tools_out"])
        puts_away = not step["tools_out"] and all(one["kind"] != "reading" for one in step["proof"])
        away = out - set(step["tools_in"]) if puts_away else out
        if away and any(one.get("of") == "tools" for one in step["proof"]):
            yield Finding(
                "tool-counted",
                f"'{words.step(at)}' counts the tools while "
                f"{listed([f'the {labels[slot]}' for slot in sorted(away)])} is out",
                "Let a step before it put every tool back, or count in another step.",
                line=words.line("steps", at),
            )
        out -= set(step["tools_in"])


def _parts(bundle: dict[str, Any], words: Words) -> Iterator[Finding]:
    """A single-use part that is fitted and not in the kit is an old one fitted again."""
    used: Counter[str] = Counter()
    for _, step in _straight(bundle):
        for use in step.get("uses", []):
            used[use["part"]] += use["count"]
    for part in bundle["kit"]:
        if part["single_use"] and used[part["part"]] != part["count"]:
            yield Finding(
                "parts-unbalanced",
                f"the kit has {part['count']} of '{part['label']}', the steps use "
                f"{used[part['part']]}",
                "List what a step fits under its uses, and count the kit again.",
                line=words.line("kit", part["part"]),
            )


def _torques_out_of_reach(bundle: dict[str, Any], words: Words) -> Iterator[Finding]:
    """A wrench below or above its range clicks at a torque that nobody knows."""
    wrenches = {tool["slot"]: tool for tool in bundle["tools"] if tool.get("unit") == "N·m"}
    out: set[str] = set()
    for at, step in _straight(bundle):
        out |= set(step["tools_out"])
        if "torque" in step:
            nm = Decimal(step["torque"]["nm"])
            at_hand = [wrenches[slot] for slot in wrenches if slot in out]
            if not any(_reaches(wrench, nm) for wrench in at_hand):
                yield _out_of_reach(words, at, nm, at_hand, list(wrenches.values()))
        out -= set(step["tools_in"])


def _reaches(wrench: dict[str, Any], nm: Decimal) -> bool:
    return Decimal(wrench["low"]) <= nm <= Decimal(wrench["high"])


def _out_of_reach(
    words: Words,
    at: int,
    nm: Decimal,
    at_hand: list[dict[str, Any]],
    every: list[dict[str, Any]],
) -> Finding:
    ranges = listed(
        [f"the {each['label']} reaches {each['low']} to {each['high']}" for each in at_hand]
        or ["no wrench with a range is out"]
    )
    able = [each["slot"] for each in every if _reaches(each, nm)]
    return Finding(
        "torque-out-of-reach",
        f"'{words.step(at)}' asks for {nm} N·m: {ranges}",
        f"Take out {listed(able)} there."
        if able
        else "List a wrench that reaches it under tools, with its low, high and unit N·m.",
        line=words.line("steps", at),
    )


def _tightened_without_torque(bundle: dict[str, Any], words: Words) -> Iterator[Finding]:
    conditions = bundle["machine"]["conditions"]
    for at, step in _straight(bundle):
        for c, value in bundle["machine"]["steps"][at]["effect"]:
            is_tight = not conditions[c]["proof"] and conditions[c]["values"][value] in TIGHT
            if is_tight and "torque" not in step:
                yield Finding(
                    "torque-missing",
                    f"after '{words.step(at)}' {words.value(c, value)}, and no torque is given",
                    "Write torque: {nm: ...} at the step.",
                    line=words.line("steps", at),
                )


def other_belts(bundle: dict[str, Any]) -> list[Finding]:
    """Belts of another length that the eccentric would take up as well: a note."""
    drive = bundle["drive"]
    belt = drive["belt"]
    if "teeth" not in belt:
        return []
    wheels = [
        geometry.Wheel(each["id"], *_mm(each, "x_um", "y_um"), each["r_um"] / 1000, each["inside"])
        for each in drive["wheels"]
    ]
    (roller,) = [each for each in drive["wheels"] if "eccentric" in each]
    x_mm, y_mm = _mm(roller, "x_um", "y_um")
    stud_x_mm, stud_y_mm = _mm(roller["eccentric"], "x_um", "y_um")
    throw_mm = math.hypot(x_mm - stud_x_mm, y_mm - stud_y_mm)
    eccentric = geometry.Eccentric(roller["id"], stud_x_mm, stud_y_mm, throw_mm)
    fitting = geometry.belts_that_fit(
        wheels, eccentric, belt["pitch_um"] / 1000, clockwise=drive["running"] == "clockwise"
    )
    others = [str(teeth) for teeth in fitting if teeth != belt["teeth"]]
    if not others:
        return []
    return [
        Finding(
            "other-belt-fits",
            f"a belt of {listed(others)} teeth goes on as well as the one of {belt['teeth']}",
            "The pointer alone does not tell them apart: let a step count the teeth.",
        )
    ]


def _mm(part: dict[str, Any], x: str, y: str) -> tuple[float, float]:
    return part[x] / 1000, part[y] / 1000
