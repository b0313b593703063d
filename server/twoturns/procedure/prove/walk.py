"""
Everywhere that one phone can go: every open step, every failure, every way back at any time, and
every `ask` passed. The house rules do not guide it.

States are found nearest first, so that each way that is told is a shortest one. A million of them
must fit into a small machine: what is kept of each is itself, two numbers, and the edges out of it.
"""

from __future__ import annotations

from array import array
from collections import deque
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field

from twoturns.procedure.prove.packed import Packed, Pair

# How often a walk says how far it is: several times a second on a slow machine.
STATES_A_WORD = 4_096

# How a step is taken: done, done over an `ask`, or failed in one of its ways.
DONE, PASSED, FAILED = 0, 1, 2
MOST_FAILURES = 62


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
    _before: array[int] = field(default_factory=_numbers)
    _how: array[int] = field(default_factory=_numbers)
    _edges: array[int] = field(default_factory=_numbers)
    _edges_end: array[int] = field(default_factory=_numbers)

    def __post_init__(self) -> None:
        self._passable = frozenset(
            at for at in range(len(self.packed.steps)) if self.packed.is_askable(at, self.asks)
        )

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
        packed = self.packed
        self._meet(packed.start(), 0, 0)
        # The list grows while it is gone through: it is the queue.
        for at, state in enumerate(self.states):
            if len(self.states) > most_states:
                self.is_whole = False
                return
            if at % STATES_A_WORD == 0:
                tell(at)
            for step in packed.opened(state):
                self._take(at, state, step)
            self._edges_end.append(len(self._edges))
            blocked = packed.blocked(state)
            if blocked is not None:
                self.blocked.setdefault(blocked, state)

    def _meet(self, state: int, before: int, how: int) -> int:
        at = self.number.get(state)
        if at is None:
            at = self.number[state] = len(self.states)
            self.states.append(state)
            self._before.append(before)
            self._how.append(how)
        return at

    def _take(self, at: int, state: int, step: int) -> None:
        """Take an open step in every way that it can go."""
        packed, how = self.packed, step * (FAILED + MOST_FAILURES)
        self.opened.add(step)
        broken = packed.broken(state, step)
        for rule in broken:
            self.broken.setdefault((step, rule), state)
        if broken and all(rule in self.asks for rule in broken):
            self._edges.append(self._pass(at, state, step))
        else:
            self._edges.append(self._meet(packed.done(state, step), at, how + DONE))
            self.transitions += 1
            # What breaks the rule may be a gap that the owner accepted, which is no state of this
            # walk: so a pass is a branch here, too. It is no way on while the step can be done.
            if step in self._passable:
                self._pass(at, state, step)
        for failure in packed.failures[step]:
            for after in packed.failed(state, step, failure):
                self.transitions += 1
                self._meet(after, at, how + FAILED + failure)
                if packed.is_open(after, step):
                    self._note_again(state, step, failure, after)

    def _pass(self, at: int, state: int, step: int) -> int:
        """Take a step over the rules that ask."""
        self.transitions += 1
        how = step * (FAILED + MOST_FAILURES) + PASSED
        return self._meet(self.packed.passed(state, step), at, how)

    def _note_again(self, state: int, step: int, failure: int, after: int) -> None:
        """Keep the first time a failure leads back to its own step; a time in trouble before it."""
        known = self.again.get((step, failure))
        if known is None or (
            self.is_trouble(state, after, step) and not self.is_trouble(*known, step)
        ):
            self.again[step, failure] = state, after

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
        waiting = self.ended(ends)
        for at in waiting:
            is_alive[at] = 1
        begin, sources = self._backwards()
        while waiting:
            at = waiting.pop()
            for source in sources[begin[at] : begin[at + 1]]:
                if not is_alive[source]:
                    is_alive[source] = 1
                    waiting.append(source)
        return is_alive

    def _backwards(self) -> tuple[array[int], array[int]]:
        """The states before each state, by its number, and where in that list they begin."""
        begin = array("I", bytes(4 * (len(self.states) + 2)))
        for target in self._edges:
            begin[target + 2] += 1
        for at in range(2, len(begin)):
            begin[at] += begin[at - 1]
        sources, first = array("I", bytes(4 * len(self._edges))), 0
        for source, end in enumerate(self._edges_end):
            for target in self._edges[first:end]:
                sources[begin[target + 1]] = source
                begin[target + 1] += 1
            first = end
        return begin, sources


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
