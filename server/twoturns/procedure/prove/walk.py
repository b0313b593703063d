"""
Everywhere that one phone can go: every open step, every failure, every way back at any time, and
every `ask` passed. The house rules do not guide it.

States are found nearest first, so that each way that is told is a shortest one. A million of them
must fit into a small machine: what is kept of each is itself, two numbers, and the edges out of it.
"""

from __future__ import annotations

from array import array
from collections import deque
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from twoturns.procedure.prove.packed import MOST_KEPT, Packed, Pair

# How often a walk says how far it is: several times a second on a slow machine.
STATES_A_WORD = 4_096

# How a step is taken: done, done over an `ask`, or failed in one of its ways.
DONE, PASSED, FAILED = 0, 1, 2
MOST_FAILURES = 62

#: States with a bit of the first mask and one of the second, and none of the third.
Asked = tuple[int, int, int]


def _numbers() -> array[int]:
    return array("I")


@dataclass(frozen=True, slots=True)
class Deed:
    """
    One step taken: `failure` is the number of the way it failed; `after` the state it left.

    `seen`: it was begun and interrupted, and looks found these values.
    """

    step: int
    after: int
    failure: int | None = None
    passed: bool = False
    seen: tuple[Pair, ...] | None = None


class Taken(NamedTuple):
    """
    An open step in every way that it can go, from wherever the bits that it touches are the same.

    `on` is what doing it leaves of those bits, `ways` all that may be left, each once with how,
    and `transitions` in how many ways.
    """

    on: int
    transitions: int
    ways: tuple[tuple[int, int], ...]


@dataclass
class Walk:
    """
    What was met. States have numbers in the order they were found; 0 is the start.

    `broken`, `blocked` and `again` hold the first state where a step can break a rule, where it has
    all it needs and is no legal move, and where a failure leads back to its own step.
    """

    packed: Packed
    asks: Collection[int]
    half_done: Sequence[int]
    states: list[int] = field(default_factory=list)
    number: dict[int, int] = field(default_factory=dict)
    transitions: int = 0
    opened: set[int] = field(default_factory=set)
    broken: dict[tuple[int, int], int] = field(default_factory=dict)
    blocked: dict[int, int] = field(default_factory=dict)
    again: dict[tuple[int, int], tuple[int, int]] = field(default_factory=dict)
    is_whole: bool = True
    _passable: frozenset[int] = frozenset()
    _ways: list[dict[int, Taken]] = field(default_factory=list)
    _before: array[int] = field(default_factory=_numbers)
    _how: array[int] = field(default_factory=_numbers)
    _edges: array[int] = field(default_factory=_numbers)
    _edges_end: array[int] = field(default_factory=_numbers)

    def __post_init__(self) -> None:
        self._passable = frozenset(
            at for at in range(len(self.packed.steps)) if self.packed.is_askable(at, self.asks)
        )
        self._ways = [{} for _ in self.packed.steps]

    def way(self, state: int) -> list[Deed]:
        """A shortest way to a state that was met."""
        deeds, at = [], self.number[state]
        while at:
            step, how = divmod(self._how[at], FAILED + MOST_FAILURES)
            failure = how - FAILED if how >= FAILED else None
            deeds.append(Deed(step, self.states[at], failure, how == PASSED))
            at = self._before[at]
        return deeds[::-1]

    def is_trouble(self, before: int, after: int, step: int) -> bool:
        """
        Whether a failure left the engine neither as it was nor on the step's own way.

        As it was: nothing was done, and measuring again is right. On its way: a part is done, and
        going on is right. Anything else is new, and the same step again does not put it right.
        """
        new = after & ~before & self.packed.engine
        return bool(new & ~self.half_done[step])

    def _run(self, most_states: int, tell: Callable[[int], None]) -> None:
        packed, number, ways, touched = self.packed, self.number, self._ways, self.packed.touched
        self._meet(packed.start(), 0, 0)
        # The list grows while it is gone through: it is the queue.
        for at, state in enumerate(self.states):
            if len(self.states) > most_states:
                self.is_whole = False
                return
            if at % STATES_A_WORD == 0:
                tell(at)
            for step in packed.opened(state):
                near = state & touched[step]
                on, transitions, every = ways[step].get(near) or self._take(state, step)
                rest = state ^ near
                self.transitions += transitions
                for left, how in every:
                    if rest | left not in number:
                        self._meet(rest | left, at, how)
                self._edges.append(number[rest | on])
            self._edges_end.append(len(self._edges))
            blocked = packed.blocked(state)
            if blocked is not None:
                self.blocked.setdefault(blocked, state)

    def _meet(self, state: int, before: int, how: int) -> None:
        self.number[state] = len(self.states)
        self.states.append(state)
        self._before.append(before)
        self._how.append(how)

    def _take(self, state: int, step: int) -> Taken:
        """
        Take an open step in every way that it can go.

        It goes the same ways wherever the bits that it touches are the same, so the first such
        state tells all that there is to tell of them.
        """
        packed, how = self.packed, step * (FAILED + MOST_FAILURES)
        near = state & packed.touched[step]
        self.opened.add(step)
        broken = packed.broken(state, step)
        for rule in broken:
            self.broken.setdefault((step, rule), state)
        over = (packed.passed(near, step), how + PASSED)
        if broken and all(rule in self.asks for rule in broken):
            ways = [over]
        else:
            ways = [(packed.done(near, step), how + DONE)]
            # What breaks the rule may be a gap that the owner accepted, which is no state of this
            # walk: so a pass is a branch here, too. It is no way on while the step can be done.
            if step in self._passable:
                ways.append(over)
        for failure in packed.failures[step]:
            for left in packed.failed(near, step, failure):
                ways.append((left, how + FAILED + failure))
                after = state ^ near | left
                if packed.is_open(after, step):
                    self._note_again(state, step, failure, after)
        taken = Taken(ways[0][0], len(ways), _first_of_each(ways))
        if len(self._ways[step]) < MOST_KEPT:
            self._ways[step][near] = taken
        return taken

    def _note_again(self, state: int, step: int, failure: int, after: int) -> None:
        """Keep the first time a failure leads back to its own step; a time in trouble before it."""
        known = self.again.get((step, failure))
        if known is None or (
            self.is_trouble(state, after, step) and not self.is_trouble(*known, step)
        ):
            self.again[step, failure] = state, after

    def first_with(self, asked: Sequence[Asked]) -> list[int | None]:
        """The first state of each kind that is asked for; None where none is met."""
        seen = 0
        for has, other, lacks in asked:
            seen |= has | other | lacks
        # In these bits the states differ little: most are told apart by what is todo.
        met = list(dict.fromkeys(map(seen.__and__, self.states)))
        return [
            next(s for s in self.states if s & has and s & other and not s & lacks)
            if any(s & has and s & other and not s & lacks for s in met)
            else None
            for has, other, lacks in asked
        ]

    def ended(self, ends: Collection[int]) -> list[int]:
        """The states, by their numbers, in which the job may be closed by one of these ends."""
        found: set[int] = set()
        for bad in (self.packed.ends[end] for end in ends):
            found.update(at for at, state in enumerate(self.states) if not state & bad)
        return sorted(found)

    def alive(self, ends: Collection[int]) -> bytearray:
        """
        Tell of each state, by its number, whether one of these ends is reached from there by doing
        steps. That a step may fail is no way on.
        """
        is_alive = bytearray(len(self.states))
        for at in self.ended(ends):
            is_alive[at] = 1
        # Nearly all are alive by what is open first. The few others are asked round by round.
        left, waiting = self._not_in_order(is_alive), list[int]()
        while len(left) != len(waiting):
            waiting, left = left, []
            for at in waiting:
                if any(is_alive[target] for target in self._edges[self._edges_of(at)]):
                    is_alive[at] = 1
                else:
                    left.append(at)
        return is_alive

    def _not_in_order(self, is_alive: bytearray) -> list[int]:
        """
        Mark where doing what is open first, again and again, leads to an end.

        Returns:
            All others, the last that was met first.
        """
        is_seen = bytearray(len(is_alive))
        for state in range(len(is_alive)):
            at, way = state, []
            while not is_alive[at] and not is_seen[at]:
                is_seen[at] = 1
                way.append(at)
                edges = self._edges_of(at)
                at = self._edges[edges.start] if edges.start < edges.stop else at
            for each in way if is_alive[at] else ():
                is_alive[each] = 1
        return [at for at in reversed(range(len(is_alive))) if not is_alive[at]]

    def _edges_of(self, at: int) -> slice:
        """Where the edges out of a state stand, by its number."""
        return slice(self._edges_end[at - 1] if at else 0, self._edges_end[at])


def _first_of_each(ways: Iterable[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Of the ways that leave the same, the first, by which it is met."""
    first: dict[int, int] = {}
    for left, how in ways:
        first.setdefault(left, how)
    return tuple(first.items())


def walk(
    packed: Packed,
    *,
    most_states: int,
    asks: Collection[int] = (),
    half_done: Sequence[int] | None = None,
    tell: Callable[[int], None] = lambda states: None,
) -> Walk:
    """
    Walk a machine from its start.

    Args:
        packed: The machine.
        most_states: Where the walk is given up.
        asks: The house rules that may be passed.
        half_done: For each step the values that say that a part of it is done; by default all
            that it writes.
        tell: Called now and then with the number of states that were gone through.
    """
    found = Walk(packed, asks, packed.on_the_way if half_done is None else half_done)
    found._run(most_states, tell)
    return found


def reaches(
    packed: Packed, state: int, is_wanted: Callable[[int], bool], most: int = 20_000
) -> bool:
    """
    Whether a state outside the walk, such as after a reopening, leads to one that is wanted.

    A search that grows past `most` states counts as no way: what is told of it is too strict.
    """
    seen, queue = {state}, deque([state])
    while queue and len(seen) < most:
        state = queue.popleft()
        if is_wanted(state):
            return True
        for at in packed.opened(state):
            after = packed.done(state, at)
            if after not in seen:
                seen.add(after)
                queue.append(after)
    return False
