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

from twoturns.procedure import shape
from twoturns.procedure.prove.figures import STAGE
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.phrases import Words, listed
from twoturns.trade import drive as geometry
from twoturns.trade.torque import LOWEST_PART
from twoturns.words import t
from twoturns.words.en.procedure.prove import balance as texts

# The values by which house rules and procedures call a fastener tight.
TIGHT = ("torqued", "final")


def unbalanced(bundle: shape.Bundle, words: Words) -> list[Finding]:
    """Return what does not balance."""
    return [
        *_tools(bundle, words),
        *_tools_counted(bundle, words),
        *_parts(bundle, words),
        *_torques_out_of_reach(bundle, words),
        *_tightened_without_torque(bundle, words),
    ]


def _straight(bundle: shape.Bundle) -> Iterator[tuple[int, shape.Step]]:
    """The steps in listed order, without the ways back."""
    return ((at, step) for at, step in enumerate(bundle["steps"]) if not step["undo"])


def _tools(bundle: shape.Bundle, words: Words) -> Iterator[Finding]:
    """A tool that is out at the end is in the engine; one that was never out was never counted."""
    labels = {tool["slot"]: tool["label"] for tool in bundle["tools"]}
    out: dict[str, int] = {}
    for at, step in _straight(bundle):
        out.update(dict.fromkeys(step["tools_out"], at))
        for slot in step["tools_in"]:
            if out.pop(slot, None) is None:
                yield Finding(
                    "tool-in",
                    t(texts.TOOL_NEVER_OUT, labels=labels[slot], step=words.step(at)),
                    t(texts.TOOL_NEVER_OUT_HINT),
                    place=words.place("steps", at),
                )
    for slot, at in out.items():
        yield Finding(
            "tool-out",
            t(texts.TOOL_LEFT_OUT, labels=labels[slot], step=words.step(at)),
            t(texts.TOOL_LEFT_OUT_HINT),
            place=words.place("steps", at),
        )


def _tools_counted(bundle: shape.Bundle, words: Words) -> Iterator[Finding]:
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
                t(
                    texts.COUNTED_WHILE_OUT,
                    step=words.step(at),
                    listed=listed([f"the {labels[slot]}" for slot in sorted(away)]),
                ),
                t(texts.COUNTED_WHILE_OUT_HINT),
                place=words.place("steps", at),
            )
        out -= set(step["tools_in"])


def _parts(bundle: shape.Bundle, words: Words) -> Iterator[Finding]:
    """A single-use part that is fitted and not in the kit is an old one fitted again."""
    used: Counter[str] = Counter()
    for _, step in _straight(bundle):
        for use in step.get("uses", []):
            used[use["part"]] += use["count"]
    for part in bundle["kit"]:
        if part["single_use"] and used[part["part"]] != part["count"]:
            yield Finding(
                "parts-unbalanced",
                t(
                    texts.KIT_COUNT_DIFFERS,
                    count=part["count"],
                    label=part["label"],
                    used=used[part["part"]],
                ),
                t(texts.KIT_COUNT_DIFFERS_HINT),
                place=words.place("kit", part["part"]),
            )


def _torques_out_of_reach(bundle: shape.Bundle, words: Words) -> Iterator[Finding]:
    """A wrench below or above its range clicks at a torque that nobody knows."""
    wrenches = {tool["slot"]: tool for tool in bundle["tools"] if tool.get("unit") == "N·m"}
    out: set[str] = set()
    for at, step in _straight(bundle):
        out |= set(step["tools_out"])
        at_hand = [wrenches[slot] for slot in wrenches if slot in out]
        for nm in _stages(step):
            if not any(_reaches(wrench, nm) for wrench in at_hand):
                yield _out_of_reach(words, at, nm, at_hand, list(wrenches.values()))
            elif not any(_reaches(wrench, nm) and _is_sure(wrench, nm) for wrench in at_hand):
                yield _low_on_scale(words, at, nm, at_hand)
        out -= set(step["tools_in"])


def _stages(step: shape.Step) -> list[Decimal]:
    """Every torque that a step asks for: the last figure and those of its stages, each once."""
    if "torque" not in step:
        return []
    stages = [each for part in step["torque"]["sequence"] for each in STAGE.findall(part)]
    return list(dict.fromkeys(map(Decimal, [step["torque"]["nm"], *stages])))


def _reaches(wrench: shape.Tool, nm: Decimal) -> bool:
    return Decimal(wrench["low"]) <= nm <= Decimal(wrench["high"])


def _is_sure(wrench: shape.Tool, nm: Decimal) -> bool:
    return nm >= Decimal(wrench["high"]) * Decimal(LOWEST_PART).quantize(Decimal("0.1"))


def _low_on_scale(words: Words, at: int, nm: Decimal, at_hand: list[shape.Tool]) -> Finding:
    """Below a fifth of its largest value a wrench was never checked: S3 of `trade/torque.py`."""
    used = next(wrench for wrench in at_hand if _reaches(wrench, nm))
    return Finding(
        "torque-low-on-scale",
        t(
            texts.LOW_ON_SCALE,
            step=words.step(at),
            nm=nm,
            label=used["label"],
            high=used["high"],
        ),
        t(texts.LOW_ON_SCALE_HINT),
        place=words.place("steps", at),
    )


def _out_of_reach(
    words: Words,
    at: int,
    nm: Decimal,
    at_hand: list[shape.Tool],
    every: list[shape.Tool],
) -> Finding:
    ranges = listed(
        [f"the {each['label']} reaches {each['low']} to {each['high']}" for each in at_hand]
        or [t(texts.NO_WRENCH_OUT)]
    )
    able = [each["slot"] for each in every if _reaches(each, nm)]
    return Finding(
        "torque-out-of-reach",
        t(texts.WRENCH_UNFIT, step=words.step(at), nm=nm, ranges=ranges),
        t(texts.TAKE_WRENCH_HINT, listed=listed(able)) if able else t(texts.LIST_WRENCH_HINT),
        place=words.place("steps", at),
    )


def _tightened_without_torque(bundle: shape.Bundle, words: Words) -> Iterator[Finding]:
    conditions = bundle["machine"]["conditions"]
    for at, step in _straight(bundle):
        for c, value in bundle["machine"]["steps"][at]["effect"]:
            is_tight = not conditions[c]["proof"] and conditions[c]["values"][value] in TIGHT
            if is_tight and "torque" not in step:
                yield Finding(
                    "torque-missing",
                    t(
                        texts.TORQUE_MISSING,
                        step=words.step(at),
                        words_value=words.value(c, value),
                    ),
                    t(texts.TORQUE_MISSING_HINT, torque="torque: {nm: ...}"),
                    place=words.place("steps", at),
                )


def other_belts(bundle: shape.Bundle) -> list[Finding]:
    """Belts of another length that the eccentric would take up as well: a note."""
    drive = bundle["drive"]
    belt = drive["belt"]
    if "teeth" not in belt:
        return []
    wheels = [
        geometry.Wheel(each["id"], *_mm(each), each["r_um"] / 1000, each["inside"])
        for each in drive["wheels"]
    ]
    (roller,) = [each for each in drive["wheels"] if "eccentric" in each]
    x_mm, y_mm = _mm(roller)
    stud_x_mm, stud_y_mm = _mm(roller["eccentric"])
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
            t(texts.OTHER_BELT_FITS, listed=listed(others), teeth=belt["teeth"]),
            t(texts.OTHER_BELT_FITS_HINT),
        )
    ]


def _mm(part: shape.DriveWheel | shape.Eccentric) -> tuple[float, float]:
    return part["x_um"] / 1000, part["y_um"] / 1000
