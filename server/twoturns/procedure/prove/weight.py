"""
What the straight job asks of the hand that holds the phone: a mirror for the author, no finding.

Counted as the phone asks it (`screens/bay`), with nothing that fails, by a camera and without
gloves that slip. An instrument counts as one touch, what is done at the engine as none. What the
opening of a job and its closing ask, and free words, are not counted.

One hold seals a step, in the same go as its last proof where nothing is asked after it. A proof
before that is kept at a tap (`proofs/proof-key.tsx`), but for a wrench's click that no marks of its
bolts say: that is held, and says a short choice after it as well (`work/step-tools.ts`). One screen
leads on to the next (`giving.ts`, `step-screens.tsx`). Each choice is counted with a screen of its
own: one that has room on its step's screen (`work/fits.ts`) takes one touch less.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import astuple, dataclass
from decimal import Decimal
from itertools import pairwise

from twoturns.procedure import shape

# A count up to here is pressed, a larger one is typed: `MOST_PRESSED` of `proofs/count.tsx`.
MOST_PRESSED = 20
# The bolts of a torque up to here are marked on its screen: `MOST_BOLTS` of `work/step-tools.ts`.
MOST_BOLTS = 8
# A choice of so many rows after a torque is on its screen: `MOST_ROWS` of `work/step-tools.ts`.
MOST_ROWS = 2
# A figure is moved on a scale of up to so many marks, else typed: `work/dial.ts`.
MOST_MARKS = 110
AIR = Decimal("0.6")


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
            moves = bool(bundle["machine"]["steps"][at]["on_the_way"])
            read = Weight(touches=step["id"] == _handed_over_at(bundle))
            steps.append((at, _of_step(step, out, things, moves=moves) + read))
            out = (out | set(step["tools_out"])) - set(step["tools_in"])
    heaviest = sorted(steps, key=lambda each: (-each[1].hand, each[0]))
    return Weights(_sum(weight for _, weight in steps), tuple(heaviest))


def _handed_over_at(bundle: shape.Bundle) -> str | None:
    """Return where the customer signs, and reads before that (`work/last-signature.ts`)."""
    last = [step for step in bundle["steps"] if not step["undo"]][-1:]
    return next(
        (one["id"] for one in last if any(proof["kind"] == "signature" for proof in one["proof"])),
        None,
    )


def _sum(weights: Iterable[Weight]) -> Weight:
    return sum(weights, Weight())


def _of_step(step: shape.Step, out: set[str], things: dict[str, int], *, moves: bool) -> Weight:
    """Its key opens the first screen, each leads on to the next, and one hold seals it."""
    given = [proof for proof in step["proof"] if proof["kind"] != "confirm"]
    # What is taken and brought back in one step is not asked for (`work/step-tools.ts`).
    taken = set(step["tools_out"]) - out - set(step["tools_in"])
    hung = set(step["tools_in"]) & out
    is_first = not step["tools_out"] and all(proof["kind"] != "reading" for proof in given)
    is_board_last = bool(hung) and not is_first
    # Its tools that come last are asked for at once, and the hold is on their board.
    opened = bool(given or taken or hung)
    sealed_with = [] if is_board_last else given[-1:]
    beside = [after for before, after in pairwise(given) if _is_beside(before, after)]
    if sealed_with and sealed_with[0] in beside:
        sealed_with = given[-2:]
    kept = [proof for proof in given if proof not in sealed_with and proof not in beside]
    return _sum(
        [
            Weight(touches=opened + len(taken) + len(hung), holds=1),
            *(_of_proof(proof, things) for proof in given),
            # What can never be photographed again is looked at in full size before it is kept.
            Weight(touches=sum(step["once"] for proof in given if proof["kind"] == "photo")),
            *(_kept(proof, _marks(step, proof, beside)) for proof in kept),
            # The time of work that moves the engine runs from its first proof (`work/write.ts`).
            Weight(touches=-sum(moves and proof["kind"] == "wait" for proof in given[1:])),
        ]
    )


def _is_beside(torque: shape.Proof, proof: shape.Proof) -> bool:
    """Whether it is given on the wrench's own screen."""
    if torque.get("tool") != "torque_wrench":
        return False
    if proof["kind"] == "choice":
        return len(proof["options"]) <= MOST_ROWS
    return proof["kind"] == "count" and "of" not in proof and int(proof["target"]) <= MOST_BOLTS


def _kept(proof: shape.Proof, marks: int | None) -> Weight:
    """A row that is chosen is kept by that; a click without marks is held; all else is tapped."""
    if proof["kind"] == "choice":
        return Weight()
    if proof.get("tool") == "torque_wrench" and marks is None:
        return Weight(holds=1)
    return Weight(touches=1 + (marks or 0))


def _marks(step: shape.Step, proof: shape.Proof, beside: list[shape.Proof]) -> int | None:
    """Bolts to mark as its wrench clicks; those of a count are counted there: `marksOf`."""
    after = step["proof"][step["proof"].index(proof) + 1 :][:1]
    if after and after[0] in beside:
        return 0 if after[0]["kind"] == "count" else None
    order = step["torque"]["sequence"] if "torque" in step else []
    is_only = sum(each.get("tool") == "torque_wrench" for each in step["proof"]) == 1
    return len(order) if is_only and 1 < len(order) <= MOST_BOLTS else None


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
    """A wrench clicks by itself, an instrument is begun, a figure moved on its scale or typed."""
    if proof.get("tool") == "torque_wrench":
        return Weight()
    if "like" in proof:
        return _of_figure(proof) + Weight(touches=1)  # looked at beside the other one
    if any(way != "hand" for way in proof.get("by", [])):
        return Weight(touches=1)  # an instrument of the phone is begun by one touch
    return _of_figure(proof)


def _of_figure(proof: shape.Proof) -> Weight:
    if _is_on_a_scale(proof):
        return Weight(touches=1)
    figure = proof.get("target") or max(proof.get("low", ""), proof.get("high", ""), key=len)
    return Weight(characters=len(figure))


def _is_on_a_scale(proof: shape.Proof) -> bool:
    """Whether it has a scale that a finger can move it on (`dialOf`)."""
    limits = [proof.get("low"), proof.get("high"), proof.get("target")]
    low, high, target = (None if limit is None else Decimal(limit) for limit in limits)
    span = _span(low, high, target)
    if span is None:
        return False
    places = max(_places(limit) for limit in limits if limit is not None)
    least, most = (end.scaleb(places) for end in span)
    if min(end for end in (low, high) if end is not None) >= 0:
        least = max(Decimal(0), least)
    return math.ceil(most) - math.floor(least) <= MOST_MARKS


def _places(figure: str) -> int:
    return len(figure.partition(".")[2])


def _span(
    low: Decimal | None, high: Decimal | None, target: Decimal | None
) -> tuple[Decimal, Decimal] | None:
    if low is not None and high is not None:
        air = AIR * (high - low)
        return (low - air, high + air) if air else None
    edge = high if low is None else low
    if edge is None:
        return None
    reach = max(abs((edge if target is None else target) - edge), abs(edge) / 2, Decimal(1))
    return (edge - reach, edge + 2 * reach) if high is None else (edge - 2 * reach, edge + reach)
