"""
What the straight job asks of the hand that holds the phone: a mirror for the author, no finding.

Counted as the phone asks it (`screens/bay`), with nothing that fails, by a camera and without
gloves that slip. An instrument counts as one touch, what is done at the engine as none. What the
opening of a job and its closing ask, and free words, are not counted.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import astuple, dataclass
from decimal import Decimal

from twoturns.procedure import shape

# A count up to here is pressed, a larger one is typed: `MOST_PRESSED` of `proofs/count.tsx`.
MOST_PRESSED = 20
# A photo is taken, looked at full size, and kept by a hold: `proofs/photo-taken.tsx`.
PHOTO_TOUCHES = 2
# The phone's own instruments are begun by one touch.
INSTRUMENTS = ("pluck", "marks", "turn")


@dataclass(frozen=True)
class Weight:
    """
    Touches, holds, photos, typed characters, and minutes of waiting.

    >>> Weight(touches=2) + Weight(touches=1, holds=1)
    Weight(touches=3, holds=1, photos=0, characters=0, minutes=0)
    """

    touches: int = 0
    holds: int = 0
    photos: int = 0
    characters: int = 0
    minutes: int = 0

    def __add__(self, other: Weight) -> Weight:
        """Both together."""
        return Weight(*(a + b for a, b in zip(astuple(self), astuple(other), strict=True)))

    @property
    def hand(self) -> int:
        """How often the hand comes to the phone: by this steps are called heavy."""
        return self.touches + self.holds + self.characters


@dataclass(frozen=True)
class Weights:
    """The straight job's weight, and each step's by its place in the bundle, heaviest first."""

    whole: Weight
    steps: tuple[tuple[int, Weight], ...]


def weigh(bundle: shape.Bundle) -> Weights:
    """Return what the straight job of a bundle asks, whole and step by step."""
    things = {
        "kit": len(bundle["kit"]),
        "single_use": sum(part["single_use"] for part in bundle["kit"]),
        "tools": len(bundle["tools"]),
    }
    out: set[str] = set()
    steps = []
    for at, step in enumerate(bundle["steps"]):
        if step["must"]:
            steps.append((at, _of_step(step, out, things)))
            out = (out | set(step["tools_out"])) - set(step["tools_in"])
    heaviest = sorted(steps, key=lambda each: (-each[1].hand, each[0]))
    return Weights(_sum(weight for _, weight in steps), tuple(heaviest))


def _sum(weights: Iterable[Weight]) -> Weight:
    return sum(weights, Weight())


def _of_step(step: shape.Step, out: set[str], things: dict[str, int]) -> Weight:
    """A step is begun by its key; without a proof that key is held. Then board and proofs."""
    begun = Weight(touches=1) if step["proof"] else Weight(holds=1)
    taken, hung = set(step["tools_out"]), set(step["tools_in"])
    # What is taken and brought back in one step is not asked for (`work/step-tools.ts`).
    moved = len(taken - out - hung) + len(hung & out)
    return _sum(
        [begun, Weight(touches=moved), *(_of_proof(each, things) for each in step["proof"])]
    )


def _of_proof(proof: shape.Proof, things: dict[str, int]) -> Weight:
    kind = proof["kind"]
    if kind == "photo":
        return Weight(touches=PHOTO_TOUCHES, holds=1, photos=1)
    if kind == "count":
        return _of_count(proof, things)
    if kind == "wait":
        return Weight(touches=1, holds=1, minutes=int(Decimal(proof["low"])))
    if kind == "reading":
        return _of_reading(proof)
    # One row is chosen, one name drawn, one label scanned; a word that all is so is held alone.
    return Weight(touches=int(kind != "confirm"), holds=1)


def _of_count(proof: shape.Proof, things: dict[str, int]) -> Weight:
    if "of" in proof:
        return Weight(touches=things[proof["of"]], holds=1)
    if int(proof["target"]) <= MOST_PRESSED:
        return Weight(touches=int(proof["target"]), holds=1)
    return Weight(characters=len(proof["target"]), holds=1)


def _of_reading(proof: shape.Proof) -> Weight:
    """A wrench that clicked is held; an instrument is begun; else the figure is typed."""
    if proof.get("tool") == "torque_wrench":
        return Weight(holds=1)
    if any(way in INSTRUMENTS for way in proof.get("by", [])):
        return Weight(touches=1, holds=1)
    figure = proof.get("target") or max(proof.get("low", ""), proof.get("high", ""), key=len)
    return Weight(characters=len(figure), holds=1)
