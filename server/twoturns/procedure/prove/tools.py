"""
Whether tools reach: a slot and its condition never disagree, what a step or a proof speaks of is on
the board, and a failure leaves nothing that nobody can have put there.

Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from twoturns.procedure import shape
from twoturns.procedure.compile.metal import Metal
from twoturns.procedure.prove.balance import TIGHT
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.phrases import Words
from twoturns.procedure.prove.walk import Deed, Walk
from twoturns.words import t
from twoturns.words.en.procedure.prove import tools as texts

Straight = Sequence[tuple[int, int, int]]

# What sentences call a tool that a count can miss, and what a proof reads with.
_SPOKEN: Final = (
    "feeler",
    "caliper",
    "straight_edge",
    "angle_gauge",
    "torque_wrench",
    "hex_key",
    "counter_hold",
    "flywheel_lock",
    "two_pin_spanner",
    "thermometer",
    "refractometer",
    "voltmeter",
    "pressure_tester",
)


def not_on_board(bundle: shape.Bundle, words: Words) -> Iterator[Finding]:
    """A tool that a step speaks of, or a proof reads with, and that hangs nowhere."""
    board = _plain(" ".join(f"{tool['label']} {tool['outline']}" for tool in bundle["tools"]))
    told: set[str] = set()
    for at, step in enumerate(bundle["steps"]):
        for name in _asked(step):
            if name not in board and name not in told:
                told.add(name)
                yield Finding(
                    "tool-not-on-board",
                    t(texts.NOT_ON_BOARD, step=words.step(at), tool=name),
                    t(texts.NOT_ON_BOARD_HINT),
                    place=words.place("steps", at),
                )


def _asked(step: shape.Step) -> list[str]:
    """The tools that a step speaks of, and those that its proofs read with."""
    sentences = [step["title"], *step["says"], *(proof["label"] for proof in step["proof"])]
    told = _plain(" ".join(sentences))
    spoken = [name for name in map(_plain, _SPOKEN) if re.search(rf"\b{name}s?\b", told)]
    return [*spoken, *(_plain(each["tool"]) for each in step["proof"] if "tool" in each)]


def _plain(text: str) -> str:
    """Small letters, and words apart from each other by spaces alone."""
    return re.sub(r"[-_]", " ", text).lower()


def slots_disagree(
    bundle: shape.Bundle, packed: Packed, words: Words, straight: Straight, metal: Metal
) -> Iterator[Finding]:
    """A tool that is in the engine and on the board at once, or in neither, when a step is done."""
    labels = {tool["slot"]: tool["label"] for tool in bundle["tools"]}
    out: set[str] = set()
    for number, (at, _, after) in enumerate(straight):
        step = bundle["steps"][at]
        out = (out | set(step["tools_out"])) - set(step["tools_in"])
        for condition, (in_use, slots) in metal.locks.items():
            if not _moves(packed, at, condition):
                continue
            value = packed.value(after, condition)
            is_in = bool(in_use >> value & 1)
            for slot in sorted(slots):
                if is_in != (slot in out):
                    way = [each for each, _, _ in straight[: number + 1]]
                    yield _disagrees(words, at, labels[slot], condition, value, way)
    for at, step in enumerate(bundle["steps"]):
        if step["undo"]:
            yield from _back_disagrees(packed, words, at, metal)


def _moves(packed: Packed, at: int, condition: int) -> bool:
    return any(c == condition for c, _ in packed.steps[at]["effect"])


def _back_disagrees(packed: Packed, words: Words, at: int, metal: Metal) -> Iterator[Finding]:
    """A way back has no place in the order: it says itself what it takes and brings back."""
    step = words.steps[at]
    guarded = {pair[0]: pair[1] for pair in packed.steps[at]["guard"]}
    labels = {tool["slot"]: tool["label"] for tool in words.bundle["tools"]}
    for condition, value in packed.steps[at]["effect"]:
        in_use, slots = metal.locks.get(condition, (0, frozenset()))
        is_in = bool(in_use >> value & 1)
        if is_in and condition in guarded and not guarded[condition] & ~in_use:
            continue  # it was in before, too
        for slot in sorted(slots - set(step["tools_out" if is_in else "tools_in"])):
            yield _disagrees(words, at, labels[slot], condition, value, [at])


def _disagrees(
    words: Words, at: int, label: str, condition: int, value: int, way: Sequence[int]
) -> Finding:
    said = words.value(condition, value)
    return Finding(
        "slot-disagrees",
        t(texts.SLOT_DISAGREES, step=words.step(at), label=label, said=said),
        t(texts.SLOT_DISAGREES_HINT),
        place=words.place("steps", at),
        way=tuple(str(words.steps[each]["id"]) for each in way),
        sequence=tuple(words.step(each) for each in way),
    )


def left_by_nobody(packed: Packed, words: Words, walk: Walk, metal: Metal) -> Iterator[Finding]:
    """
    What a failure leaves though nobody can have put it there: a lock in, a part fitted or tight.

    It may be what it was, in some state in which the step is open, or what the step writes on its
    way. What comes off, loosens or is spoiled can happen to anybody.
    """
    for at, step in enumerate(packed.steps):
        written = {pair[0]: pair[1] for pair in step["on_the_way"]}
        for number, failure in enumerate(step["fails"]):
            for condition, value in failure["effect"]:
                is_put = _is_put(packed, metal, condition, value)
                if not is_put or written.get(condition, 0) >> value & 1:
                    continue
                bit = packed.bit(condition, value)
                if not any(state & bit and packed.is_open(state, at) for state in walk.states):
                    yield _left(packed, words, walk, at, number, words.value(condition, value))


def _is_put(packed: Packed, metal: Metal, condition: int, value: int) -> bool:
    in_use, _ = metal.locks.get(condition, (0, frozenset()))
    found = packed.machine["conditions"][condition]
    return bool(in_use >> value & 1) or (not found["proof"] and found["values"][value] in TIGHT)


def _left(packed: Packed, words: Words, walk: Walk, at: int, number: int, said: str) -> Finding:
    before = next((state for state in walk.states if packed.is_open(state, at)), None)
    deeds = [] if before is None else walk.way(before)
    if before is not None:
        deeds.append(Deed(at, next(iter(packed.failed(before, at, number))), number))
    return Finding(
        "left-by-nobody",
        t(texts.LEFT_BY_NOBODY, step=words.step(at), said=said),
        t(texts.LEFT_BY_NOBODY_HINT),
        place=words.place("steps", at, "fails", number),
        way=tuple(words.name(deed) for deed in deeds),
        sequence=tuple(words.deed(packed, deed) for deed in deeds),
    )
