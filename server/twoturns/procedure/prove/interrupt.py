"""
Where a job can stand after an interruption: a step was begun and left, and then looked at.

From every state of the straight job each step that is open is begun and left, ways back included,
and looks find all that may be so. From there steps are done until the walk is met again. Beginning
and leaving from every state of the walk would be a hundred times as many states.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterator

from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.walk import Deed, Walk

# Above this the search is given up, as the walk is.
MOST_STATES = 200_000


class Interruptions:
    """
    Every interruption of the straight job, and what follows.

    Args:
        walk: The whole walk.
        alive: Which of its states lead to an end.
        ends: The ends that are right.
        before: The states of the straight job.
    """

    def __init__(
        self, walk: Walk, alive: bytearray, ends: Collection[int], before: list[int]
    ) -> None:
        self.packed: Packed = walk.packed
        self._walk, self._alive, self._ends = walk, alive, ends
        self._came: dict[int, tuple[int, Deed]] = {}
        self._sources: dict[int, list[int]] = {}
        self.broken: dict[tuple[int, int], int] = {}
        # A state that the walk does not meet has no way to it. Where the order is broken, the
        # straight job goes on through such ones; a way from there could lead back into itself.
        waiting = deque(self._looked([state for state in before if state in walk.number]))
        while waiting and len(self._came) < MOST_STATES:
            waiting.extend(self._go_on(waiting.popleft()))
        self.is_whole = not waiting

    @property
    def states(self) -> int:
        """How many states were met that the walk does not meet."""
        return len(self._came)

    def _looked(self, before: list[int]) -> Iterator[int]:
        for state in before:
            for at in self.packed.opened(state):
                for seen, after in self.packed.interrupted(state, at):
                    if self._is_new(after):
                        self._came[after] = state, Deed(at, after, seen=seen)
                        yield after

    def _is_new(self, state: int) -> bool:
        return state not in self._walk.number and state not in self._came

    def _go_on(self, state: int) -> Iterator[int]:
        packed = self.packed
        for at in packed.opened(state):
            for rule in packed.broken(state, at):
                self.broken.setdefault((at, rule), state)
            after = packed.done(state, at)
            sources = self._sources.get(after)
            if sources is not None:
                sources.append(state)
                continue
            self._sources[after] = [state]
            if self._is_new(after):
                self._came[after] = state, Deed(at, after)
                yield after

    def dead(self) -> list[int]:
        """Return the states from which no right end is reached, the nearest first."""
        waiting = [s for s in self._sources if self._lives(s)]
        waiting += [s for s in self._came if not self._ends_in(s).isdisjoint(self._ends)]
        is_alive = set(waiting)
        while waiting:
            for source in self._sources.get(waiting.pop(), ()):
                if source not in is_alive:
                    is_alive.add(source)
                    waiting.append(source)
        return [state for state in self._came if state not in is_alive]

    def _ends_in(self, state: int) -> set[int]:
        return set(self.packed.ended(state))

    def _lives(self, state: int) -> bool:
        at = self._walk.number.get(state)
        return at is not None and bool(self._alive[at])

    def way(self, state: int) -> list[Deed]:
        """Return a way to a state that was met here."""
        deeds = []
        while state in self._came:
            state, deed = self._came[state]
            deeds.append(deed)
        return [*self._walk.way(state), *deeds[::-1]]
