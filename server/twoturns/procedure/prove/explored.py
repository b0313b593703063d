"""
What a bundle's machine does, gone through once: all that the checks of the walk look at.

    Explored
    ├── packed         the machine, a state a number
    ├── straight       the straight job
    ├── walk           every state that one phone can reach
    ├── right_ends     the ends that a job may be steered to
    ├── alive          from which of the states one of them is reached
    └── interruptions  where the straight job stands after a step that was begun and left
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from twoturns.procedure import shape
from twoturns.procedure.compile.metal import Metal
from twoturns.procedure.prove.covers import with_covers
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.interrupt import Interruptions
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.phrases import Words
from twoturns.procedure.prove.straight import straight_run
from twoturns.procedure.prove.walk import Deed, Walk, walk


class Explored:
    """
    A bundle and everywhere that one phone can go with it.

    Args:
        bundle: Compiled and checked.
        words: Its words, and the lines of its source.
        metal: What the source says of the metal.
        most_states: Where the walk is given up.
        tell: Called now and then with the number of states that were gone through.
    """

    def __init__(
        self,
        bundle: shape.Bundle,
        words: Words,
        metal: Metal,
        most_states: int,
        tell: Callable[[int], None],
    ) -> None:
        self.bundle, self.words, self.covers = bundle, words, metal.covers
        self.packed = Packed(with_covers(bundle, metal))
        self.steps = self.packed.steps
        self.straight = straight_run(self.packed)
        asks = {at for at, rule in enumerate(bundle["rules"]) if rule["kind"] == "ask"}
        self.walk: Walk = walk(
            self.packed,
            most_states=most_states,
            asks=asks,
            half_done=self._half_done(),
            tell=tell,
        )
        self.right_ends = right_ends(self.packed)
        self.alive = self.walk.alive(self.right_ends) if self.walk.is_whole else bytearray()

    @cached_property
    def interruptions(self) -> Interruptions:
        """Where each step of the straight job, begun and left, leads; gone through when asked."""
        before = [state for at, state, _ in self.straight if self.packed.is_open(state, at)]
        return Interruptions(self.walk, self.alive, self.right_ends, before)

    def _half_done(self) -> list[int]:
        """
        For each step the values that a failure may leave and the same step go on from: those of the
        straight job before it, and those that it brings itself.
        """
        before = {at: state & self.packed.engine for at, state, _ in self.straight}
        return [mask | before.get(at, 0) for at, mask in enumerate(self.packed.on_the_way)]

    def told(
        self,
        code: str,
        message: str,
        hint: str,
        *,
        step: int | None = None,
        rule: int | None = None,
        to: int | None = None,
        then: Deed | None = None,
    ) -> Finding:
        """A finding at a step or a rule, with a shortest way to a state, and one deed more."""
        if to is None:
            deeds = []
        elif to in self.walk.number:
            deeds = self.walk.way(to)
        else:
            deeds = self.interruptions.way(to)
        deeds += [] if then is None else [then]
        return Finding(
            code,
            message,
            hint,
            rule=None if rule is None else str(self.bundle["rules"][rule]["id"]),
            place=None if step is None else self.words.place("steps", step),
            way=tuple(self.words.name(deed) for deed in deeds),
            sequence=tuple(self.words.deed(self.packed, deed) for deed in deeds),
        )

    def lives(self, state: int) -> bool:
        """Say whether a state is one of the walk, and leads to a right end."""
        at = self.walk.number.get(state)
        return at is not None and bool(self.alive[at])


def right_ends(packed: Packed) -> list[int]:
    """
    The ends that a job may be steered to: all must-steps done, or what only a failure finds out.

    *Stopped* is always possible in some state; if it counted, no dead end would show. But an end
    that asks for a value which nothing leaves except a failure ("recover, do not crank") is the
    right one there. Where no end is right by this, all are.
    """
    machine = packed.machine
    left = {(c, condition["start"]) for c, condition in enumerate(machine["conditions"])}
    left |= {(c, v) for step in machine["steps"] for c, v in step["effect"]}
    found = [
        at
        for at, end in enumerate(machine["ends"])
        if end["all_must"] or any(_is_verdict(c, mask, left) for c, mask in end["conditions"])
    ]
    return found or list(range(len(machine["ends"])))


def _is_verdict(condition: int, mask: int, left: set[tuple[int, int]]) -> bool:
    values = [value for value in range(mask.bit_length()) if mask >> value & 1]
    return bool(values) and not any((condition, value) in left for value in values)
