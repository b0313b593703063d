"""
A machine packed into integers, for walking every state that one phone can reach.

A state is one integer: the value of each condition in a field of its own, and above them a bit for
each must-step that is todo. Here every value is known and things follow one another, so the rules
of `fold` shrink to: write the effect, and let the makers of what was taken away be todo again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from typing import Any

Pair = Sequence[int]


class Packed:
    """The moves of one machine over packed states."""

    def __init__(self, machine: dict[str, Any]) -> None:
        self.machine = machine
        self.steps: list[dict[str, Any]] = machine["steps"]
        self._proof = [condition["proof"] for condition in machine["conditions"]]
        self._shift, self._field = self._layout(machine["conditions"])
        self._makers = {(c, v): steps for c, v, steps in machine["makers"]}
        self._before = [self._listed_before(at) for at in range(len(self.steps))]
        self._asked = [step["guard"] + step["moves"] for step in self.steps]
        self._free = [at for at, step in enumerate(self.steps) if not step["must"]]

    def _layout(self, conditions: list[dict[str, Any]]) -> tuple[list[int], list[int]]:
        shifts, fields, at = [], [], 0
        for condition in conditions:
            width = (len(condition["values"]) - 1).bit_length()
            shifts.append(at)
            fields.append((1 << width) - 1)
            at += width
        self._todo = at
        return shifts, fields

    def _listed_before(self, at: int) -> int:
        """The todo bits that must be clear before a step may open."""
        step = self.steps[at]
        return sum(
            1 << (self._todo + other)
            for other in range(at)
            if self.steps[other]["must"]
            and not (step["together"] and self.steps[other]["together"] == step["together"])
        )

    def start(self) -> int:
        """The state of a job that was just opened."""
        state = sum(1 << (self._todo + at) for at, step in enumerate(self.steps) if step["must"])
        for c, condition in enumerate(self.machine["conditions"]):
            state |= condition["start"] << self._shift[c]
        return state

    def value(self, state: int, condition: int) -> int:
        return state >> self._shift[condition] & self._field[condition]

    def todo(self, state: int) -> int:
        """The must-steps that are todo, as a bit set."""
        return state >> self._todo

    def holds(self, state: int, masks: Sequence[Pair]) -> bool:
        shift, field = self._shift, self._field
        return all(mask >> (state >> shift[c] & field[c]) & 1 for c, mask in masks)

    def next_must(self, state: int) -> int | None:
        """The first must-step in listed order that is todo."""
        todo = self.todo(state)
        return (todo & -todo).bit_length() - 1 if todo else None

    def is_turn(self, state: int, at: int) -> bool:
        """Whether an ordinary step is todo and none before it is."""
        return bool(state >> (self._todo + at) & 1) and not state & self._before[at]

    def is_open(self, state: int, at: int) -> bool:
        """
        Needs, order and legal moves; never the house rules.

        A step that is no must is never todo: like a way back it is open when it would change
        something, but an ordinary one keeps its place in the order.
        """
        step = self.steps[at]
        if step["must"]:
            return self.is_turn(state, at) and self.holds(state, self._asked[at])
        if not step["undo"] and state & self._before[at]:
            return False
        return self.holds(state, self._asked[at]) and any(
            self.value(state, c) != v for c, v in step["effect"]
        )

    def opened(self, state: int) -> Iterator[int]:
        """The steps that are open: of the ordinary ones only the next, and its neighbours."""
        todo = self.todo(state)
        at = (todo & -todo).bit_length() - 1
        while at >= 0 and self.is_turn(state, at):
            if self.is_open(state, at):
                yield at
            todo &= todo - 1
            at = (todo & -todo).bit_length() - 1
        for at in self._free:
            if self.is_open(state, at):
                yield at

    def broken(self, state: int, at: int) -> list[int]:
        """The house rules that doing a step here would break."""
        return [
            rule["rule"] for rule in self.steps[at]["rules"] if not self.holds(state, rule["guard"])
        ]

    def write(self, state: int, effect: Sequence[Pair], by: int | None = None) -> int:
        """Write an effect. `by` is the ordinary step that does so; without it all makers go."""
        for c, v in effect:
            old = self.value(state, c)
            if old == v:
                continue
            for maker in self._makers.get((c, old), ()):
                if by is None or self._proof[c] or maker > by:
                    state |= 1 << (self._todo + maker)
            state ^= (old ^ v) << self._shift[c]
        return state

    def done(self, state: int, at: int) -> int:
        step = self.steps[at]
        after = self.write(state, step["effect"], by=None if step["undo"] else at)
        return after & ~(1 << (self._todo + at))

    def passed(self, state: int, at: int) -> int:
        """A step done over an `ask`: the engine has moved, and nothing is proved by it."""
        step = self.steps[at]
        moved = [(c, v) for c, v in step["effect"] if not (self._proof[c] and v)]
        after = self.write(state, moved, by=None if step["undo"] else at)
        return after & ~(1 << (self._todo + at))

    def reopened(self, state: int, at: int) -> int:
        return self.write(state, self.steps[at]["reopen"]) | 1 << (self._todo + at)

    def failed(self, state: int, at: int, failure: dict[str, Any]) -> Iterator[int]:
        """Every state that the looks after a failure can find."""
        on_the_way = dict(self.steps[at]["on_the_way"])
        after = self.write(state, failure["effect"])
        choices = []
        for c in failure["look"]:
            seen = on_the_way[c] | 1 << self.value(state, c)
            choices.append([(c, v) for v in range(seen.bit_length()) if seen >> v & 1])
        for seen_values in product(*choices):
            yield self.write(after, seen_values)

    def ended(self, state: int) -> list[int]:
        """The ends whose conditions hold here."""
        return [
            at
            for at, end in enumerate(self.machine["ends"])
            if not (end["all_must"] and self.todo(state)) and self.holds(state, end["conditions"])
        ]
