"""Figures with their units, as the sentences of a procedure say them and its proofs hold them."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from twoturns.procedure import shape

# Counted in words where a hand counts: `two turns`, `two full turns`.
_SPELLED: Final = {
    word: Decimal(at)
    for at, word in enumerate(("one", "two", "three", "four", "five", "six"), start=1)
}
_FIGURE = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?) ?(N·m|mm|Hz|bar|°C|°|turns?\b|L\b|V\b|min\b)")
_TURNS = re.compile(
    rf"\b({'|'.join(_SPELLED)}) (?:full |new |more )*(turns?)\b(?! of the key)", re.IGNORECASE
)
# A stage of a sequence, as procedures write it: `6 N·m in star order`.
STAGE = re.compile(r"(\d+(?:\.\d+)?) ?N·m")
_EVERYTHING: Final = Decimal("Infinity")


def figures_in(text: str) -> Iterator[tuple[Decimal, str]]:
    """
    Yield each figure of a sentence with its unit.

    >>> [(str(value), unit) for value, unit in figures_in("Nut 26 N·m, then two new turns.")]
    [('26', 'N·m'), ('2', 'turns')]
    """
    for value, unit in _FIGURE.findall(text):
        yield Decimal(value), "turns" if unit.startswith("turn") else unit
    for word, _ in _TURNS.findall(text):
        yield _SPELLED[word.lower()], "turns"


def torques_of(step: shape.Step) -> set[Decimal]:
    """Every torque that a step asks for, N·m: the figure, its stages, and those of its proofs."""
    if "torque" not in step:
        return set()
    stages = [each for part in step["torque"]["sequence"] for each in STAGE.findall(part)]
    targets = [each["target"] for each in step["proof"] if _is_torque(each)]
    return {Decimal(each) for each in (step["torque"]["nm"], *stages, *targets)}


def _is_torque(proof: shape.Proof) -> bool:
    return proof.get("unit") == "N·m" and "target" in proof


def windows_of(step: shape.Step) -> dict[str, list[tuple[Decimal, Decimal]]]:
    """What a step takes, by unit: the windows of its readings, its torques, angle and waits."""
    windows: dict[str, list[tuple[Decimal, Decimal]]] = defaultdict(list)
    for proof in step["proof"]:
        if proof["kind"] in ("reading", "wait"):
            low = Decimal(proof.get("low", -_EVERYTHING))
            windows[proof["unit"]].append((low, Decimal(proof.get("high", _EVERYTHING))))
    windows["N·m"] += [(nm, nm) for nm in torques_of(step)]
    if "angle_deg" in step.get("torque", {}):
        angle = Decimal(step["torque"]["angle_deg"])
        windows["°"].append((angle, angle))
    return windows
