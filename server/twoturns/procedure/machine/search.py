"""
The shortest way from a state to an end, over open steps that break no house rule.

A state is one integer: a bit for each value of each condition, of which one is set, and a bit for
each must-step that is todo. So what a step needs, its place in the order among it, is one mask of
bits that must not be there, and doing it is a few masks more.

The search is A* with `States.bound`, which never says more than there is to do: the answer is
exact. `client/src/procedure/search.ts` is the same, rule for rule.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from twoturns.procedure.machine.machine import End, Machine, Pair, Pairs

NO_WAY = 1 << 30  # a bound that no way has


@dataclass(frozen=True, slots=True)
class Move:
    """Doing one step: it may be done where no bit of `bad` is set."""

    step: int
    bad: int
    behind: int  # itself and what waits for it while it is todo: listed after it, no mate
    todo: int  # its own bit; it is done only while that is set (0: whenever it changes something)
    keep: int
    sets: int
    always: int  # makers of the proofs it writes: todo, whatever was proved
    takes: tuple[
        tuple[int, int], ...
    ]  # a bit that it takes away, and the makers that are todo then
    needs: tuple[tuple[int, int], ...]  # the bits that one condition must not have; who can help
    redone: tuple[tuple[int, int], ...]  # like `takes`: makers that nothing could have spared


class States:
    """The states of a machine, with what each step does to them."""

    def __init__(self, machine: Machine, end: End) -> None:
        self.machine, self.end = machine, end
        self._first, at = [], 0
        for condition in machine.conditions:
            self._first.append(at)
            at += len(condition.values)
        self._todo = at
        self.musts = self._steps(at for at, step in enumerate(machine.steps) if step.must)
        self._writers = self._find_writers()
        self._mates, self._takers = self._find_mates(), self._find_takers()
        order = sorted(range(len(machine.steps)), key=machine.rank)
        self.moves = [self._move(at) for at in order]
        self._by_step = {move.step: move for move in self.moves}
        self._end_needs = self._needs(end.conditions)
        self._end_bad = sum(bad for bad, _ in self._end_needs)

    def packed(self, values: Sequence[int], todo: Collection[int]) -> int:
        """Return the state of these values, one for each condition, and steps that are todo."""
        state = self._steps(step for step in todo if self.machine.steps[step].must)
        for c, value in enumerate(values):
            state |= self._bit(c, value)
        return state

    def value(self, state: int, c: int) -> int:
        """Return the value of a condition."""
        return (state >> self._first[c] & self.machine.conditions[c].every).bit_length() - 1

    def is_end(self, state: int) -> bool:
        """Tell whether the end is reached."""
        return not (state & self._end_bad or (self.end.all_must and state & self.musts))

    def after(self, state: int, move: Move) -> int | None:
        """Return the state after a step, or None where it may not be done."""
        if state & move.bad:
            return None
        if move.todo:
            if not state & move.todo:
                return None
        elif state & move.sets == move.sets:
            return None
        return self.done(state, move)

    def done(self, state: int, move: Move) -> int:
        """Return the state after a step that may be done."""
        new = state & move.keep | move.sets | move.always
        for bit, makers in move.takes:
            if state & bit:
                new |= makers
        return new & ~move.todo

    def bound(self, state: int) -> int:
        """
        Return a number of steps that no way to the end can undercut.

        Every must-step that is todo is to be done; so is each that will be lost for certain. Where
        one of them needs what is not so, and no step among them could bring it, one more step is
        to be done out of those that can: counted once for each such choice that shares no step
        with another.
        """
        wanted = state & self.musts if self.end.all_must else 0
        later = 0  # those that are not todo yet, but will be lost
        while True:
            choices = self._choices(state, wanted, later)
            if choices is None:
                return NO_WAY
            lost = 0
            for choice in choices if self.end.all_must else ():
                lost |= self._surely_lost(state, choice) & ~wanted
            if not lost & ~later:
                return (wanted | later).bit_count() + _disjoint(choices)
            later |= lost

    def _choices(self, state: int, wanted: int, later: int) -> list[int] | None:
        """Return the sets of steps out of which one more is to be done; None if one is empty."""
        choices: list[int] = []
        asked = [(need, 0) for need in self._end_needs]
        todo = rest = wanted | later
        while rest:
            bit = rest & -rest
            rest ^= bit
            move = self._by_step[bit.bit_length() - 1 - self._todo]
            asked += [(need, move.behind if bit & wanted else 0) for need in move.needs]
        for (bad, helpers), behind in asked:
            if not state & bad:
                continue
            # A step that is todo itself waits for every step before it: what waits for it
            # cannot help.
            able = helpers & ~(wanted & behind)
            if able & todo:
                continue
            if not able:
                return None
            choices.append(able)
        return choices

    def _surely_lost(self, state: int, choice: int) -> int:
        """Return the must-steps that every step of a choice takes away."""
        lost = self.musts
        while choice and lost:
            bit = choice & -choice
            choice ^= bit
            move = self._by_step[bit.bit_length() - 1 - self._todo]
            taken = move.always
            for had, makers in move.redone:
                if state & had:
                    taken |= makers
            lost &= taken
        return lost

    # Bits.

    def _bit(self, c: int, value: int) -> int:
        return 1 << (self._first[c] + value)

    def step_bit(self, step: int) -> int:
        """Return the bit that says that a must-step is todo."""
        return 1 << (self._todo + step)

    def _steps(self, steps: Iterable[int]) -> int:
        return sum(self.step_bit(step) for step in steps)

    def _outside(self, c: int, mask: int) -> int:
        return (self.machine.conditions[c].every & ~mask) << self._first[c]

    # Moves.

    def _find_writers(self) -> dict[Pair, int]:
        """Return for each value of each condition the steps that leave it, by their bits."""
        writers: dict[Pair, int] = defaultdict(int)
        for at, step in enumerate(self.machine.steps):
            for pair in step.effect:
                writers[pair] |= self.step_bit(at)
        return writers

    def _needs(self, pairs: Pairs) -> tuple[tuple[int, int], ...]:
        """Return for each mask the bits outside it, and the steps that bring what is inside."""
        found = []
        for c, mask in pairs:
            helpers = 0
            for value in range(len(self.machine.conditions[c].values)):
                helpers |= self._writers[c, value] if mask >> value & 1 else 0
            found.append((self._outside(c, mask), helpers))
        return tuple(found)

    def asked(self, at: int | None) -> Pairs:
        """Return what a step asks of the state before it, or without a step the end."""
        if at is None:
            return self.end.conditions
        step = self.machine.steps[at]
        stops = (rule.guard for rule in step.rules if not self.machine.rules[rule.rule].ask)
        return (*step.guard, *step.moves, *(pair for guard in stops for pair in guard))

    def _move(self, at: int) -> Move:
        step = self.machine.steps[at]
        needs = self._needs(self.asked(at))
        bad = self._steps(self.machine.before[at])
        for outside, _ in needs:
            bad |= outside
        behind = self._waiting(at)
        keep, sets, always = ~0, 0, 0
        takes: list[tuple[int, int]] = []
        redone: list[tuple[int, int]] = []
        for c, value in step.effect:
            keep &= ~self._outside(c, 0)
            sets |= self._bit(c, value)
            for left, makers in self.machine.makers_of.get(c, ()):
                if left == value:
                    continue
                if self.machine.conditions[c].proof:
                    always |= self._steps(makers)
                    continue
                bit = self._bit(c, left)
                takes.append((bit, self._steps(m for m in makers if step.undo or m > at)))
                sure = self._steps(m for m in makers if self._is_sure(c, left, m))
                redone.append((bit, sure))
        own = self.step_bit(at) if step.must else 0
        return Move(at, bad, behind, own, keep, sets, always, tuple(takes), needs, tuple(redone))

    def _waiting(self, at: int) -> int:
        """Return the steps that wait for one, and that one itself: those listed after a must."""
        step = self.machine.steps[at]
        if not step.must:
            return self.step_bit(at)
        after = (1 << len(self.machine.steps)) - (1 << (at + 1)) << self._todo
        return self.step_bit(at) | after & ~self._mates.get(step.together, 0)

    def _find_mates(self) -> dict[str | None, int]:
        """Return for each group of steps that are done together its bits."""
        mates: dict[str | None, int] = defaultdict(int)
        for at, step in enumerate(self.machine.steps):
            if step.together is not None:
                mates[step.together] |= self.step_bit(at)
        return mates

    def _find_takers(self) -> dict[int, list[tuple[int, int]]]:
        """Return for each condition the values that ordinary steps leave it at, and the steps."""
        takers: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for at, step in enumerate(self.machine.steps):
            for c, value in step.effect:
                if not step.undo:
                    takers[c].append((value, at))
        return takers

    def _is_sure(self, c: int, left: int, maker: int) -> bool:
        """Tell whether every step that takes this value away resets this maker."""
        return all(maker > at for value, at in self._takers[c] if value != left)


def _disjoint(choices: list[int]) -> int:
    """Return how many of these sets, taken smallest first, share nothing with one another."""
    count = used = 0
    for choice in sorted(choices, key=lambda choice: (choice.bit_count(), choice)):
        if not choice & used:
            used |= choice
            count += 1
    return count


@dataclass(frozen=True, slots=True)
class Way:
    """What a search found: the steps in order, or None; `gave_up` when the limit was hit."""

    steps: list[int] | None
    gave_up: bool
    looked_at: int


def shortest_way(states: States, start: int, limit: int) -> Way:
    """
    Return the shortest way to the end; among equals the first in the order of `Machine.rank`.

    Args:
        states: The machine's states and its end.
        start: Where to begin.
        limit: How many states may be looked at before it gives up.
    """
    search = _Search(states, limit)
    try:
        length = search.length(start)
        steps = None if length is None else search.first(start, length)
    except _LimitHit:
        return Way(None, True, search.looked_at)
    return Way(steps, False, search.looked_at)


class _LimitHit(Exception):
    pass


class _Search:
    def __init__(self, states: States, limit: int) -> None:
        self.states, self.limit, self.looked_at = states, limit, 0
        self._bounds: dict[int, int] = {}
        self._hopeless: dict[int, int] = {}  # a state, and with how many steps left it was in vain

    def _bound(self, state: int) -> int:
        if state not in self._bounds:
            self._bounds[state] = self.states.bound(state)
        return self._bounds[state]

    def _look_at(self) -> None:
        self.looked_at += 1
        if self.looked_at > self.limit:
            raise _LimitHit

    def length(self, start: int) -> int | None:
        """Return the length of the shortest way, or None if there is none."""
        best = {start: 0}
        waiting: dict[int, list[tuple[int, int]]] = defaultdict(list)
        if self._bound(start) < NO_WAY:
            waiting[self._bound(start)].append((start, 0))
        while waiting:
            total = min(waiting)
            state, depth = waiting[total].pop()
            if not waiting[total]:
                del waiting[total]
            if depth > best[state]:
                continue  # it was reached on a shorter way since
            if self.states.is_end(state):
                return depth
            self._look_at()
            for move in reversed(self.states.moves):
                new = self.states.after(state, move)
                if new is None or best.get(new, NO_WAY) <= depth + 1:
                    continue
                best[new] = depth + 1
                bound = self._bound(new)
                if bound < NO_WAY:
                    waiting[depth + 1 + bound].append((new, depth + 1))
        return None

    def first(self, start: int, length: int) -> list[int] | None:
        """Return the first way of this length in the order of steps: depth first, in that order."""
        way: list[int] = []
        return way if self._follow(start, length, way) else None

    def _follow(self, state: int, left: int, way: list[int]) -> bool:
        if self.states.is_end(state):
            return left == 0
        if self._bound(state) > left or self._hopeless.get(state, -1) >= left:
            return False
        self._look_at()
        for move in self.states.moves:
            new = self.states.after(state, move)
            if new is None:
                continue
            way.append(move.step)
            if self._follow(new, left - 1, way):
                return True
            way.pop()
        self._hopeless[state] = left
        return False
