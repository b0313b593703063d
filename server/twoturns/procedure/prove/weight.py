"""
What the straight job asks of the hand that holds the phone: a mirror for the author, no finding.

Counted as the phone asks it (`screens/bay`), with nothing that fails, by a camera and without
gloves that slip. An instrument counts as one touch, what is done at the engine as none. What the
opening of a job and its closing ask, and free words, are not counted.

One hold seals a step, in the same go as its last proof where nothing is asked after it. A proof
before that is kept at a tap (`proofs/proof-key.tsx`), but for a wrench's click, which nothing but
its key says: that is held. One screen leads on to the next (`give-proof.tsx`, `step-screens.tsx`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import astuple, dataclass
from decimal import Decimal

from twoturns.procedure import shape

# A count up to here is pressed, a larger one is typed: `MOST_PRESSED` of `proofs/count.tsx`.
MOST_PRESSED = 20
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
    """Its key opens the first screen, each leads on to the next, and one hold seals it."""
    given = [proof for proof in step["proof"] if proof["kind"] != "confirm"]
    # What is taken and brought back in one step is not asked for (`work/step-tools.ts`).
    taken = set(step["tools_out"]) - out - set(step["tools_in"])
    hung = set(step["tools_in"]) & out
    is_first = not step["tools_out"] and all(proof["kind"] != "reading" for proof in given)
    is_board_last = bool(hung) and not is_first
    opened = bool(given or taken or (hung and is_first)) + is_board_last
    sealed_with = given[-1:] if len(given) == len(step["proof"]) and not is_board_last else []
    kept = [proof for proof in given if proof not in sealed_with]
    return _sum(
        [
            Weight(touches=opened + len(taken) + len(hung), holds=1),
            *(_of_proof(proof, things) for proof in given),
            # What can never be photographed again is looked at in full size before it is kept.
            Weight(touches=sum(step["once"] for proof in given if proof["kind"] == "photo")),
            *(_kept(proof) for proof in kept),
        ]
    )


def _kept(proof: shape.Proof) -> Weight:
    """A row that is chosen is kept by that; a wrench's click is held; all else is tapped."""
    if proof["kind"] == "choice":
        return Weight()
    return Weight(holds=1) if proof.get("tool") == "torque_wrench" else Weight(touches=1)


def _of_proof(proof: shape.Proof, things: dict[str, int]) -> Weight:
    kind = proof["kind"]
    if kind == "photo":
        return Weight(touches=1, photos=1)
    if kind == "count":
        return _of_count(proof, things)
    if kind == "wait":
        return Weight(touches=1, minutes=int(Decimal(proof["low"])))
    if kind == "reading":
        return _of_reading(proof)
    # One row is chosen, one name drawn, one label scanned.
    return Weight(touches=1)


def _of_count(proof: shape.Proof, things: dict[str, int]) -> Weight:
    if "of" in proof:
        return Weight(touches=things[proof["of"]])
    if int(proof["target"]) <= MOST_PRESSED:
        return Weight(touches=int(proof["target"]))
    return Weight(characters=len(proof["target"]))


def _of_reading(proof: shape.Proof) -> Weight:
    """A wrench clicks by itself; an instrument is begun; else the figure is typed."""
    if proof.get("tool") == "torque_wrench":
        return Weight()
    if any(way in INSTRUMENTS for way in proof.get("by", [])):
        return Weight(touches=1)
    figure = proof.get("target") or max(proof.get("low", ""), proof.get("high", ""), key=len)
    return Weight(characters=len(figure))
