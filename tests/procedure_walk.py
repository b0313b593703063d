"""
A small walker over a machine, for one phone that does one thing after another.

It knows formats.md, section 6, for the case that every value is known: no log, no concurrency.
Written from the contract; it shares no code with `fold` and `plan`, so it can contradict them.
"""

import heapq
import itertools
from typing import NamedTuple


class State(NamedTuple):
    """The value of each condition, and the must-steps that are todo as a bit set."""

    values: tuple[int, ...]
    todo: int


class Walker:
    def __init__(self, machine):
        self.machine = machine
        self.steps = machine["steps"]
        self.proof = [condition["proof"] for condition in machine["conditions"]]
        self.makers = {}
        for c, v, steps in machine["makers"]:
            self.makers.setdefault(c, []).append((v, steps))

    def start(self):
        todo = sum(1 << at for at, step in enumerate(self.steps) if step["must"])
        return State(tuple(each["start"] for each in self.machine["conditions"]), todo)

    def holds(self, masks, state):
        values = state.values
        for c, mask in masks:  # noqa: SIM110 - asked millions of times: a generator takes twice as long
            if not mask & 1 << values[c]:
                return False
        return True

    def is_open(self, at, state):
        """Needs, moves and order; not the house rules."""
        step = self.steps[at]
        if not step["undo"] and not self.is_next(at, step["together"], state):
            return False
        if not (self.holds(step["moves"], state) and self.holds(step["guard"], state)):
            return False
        return not step["undo"] or any(state.values[c] != v for c, v in step["effect"])

    def is_next(self, at, together, state):
        """Whether a must-step is todo, and none before it but those that are done together."""
        if not state.todo >> at & 1:
            return False
        before = state.todo & ((1 << at) - 1)
        if not before or not together:
            return not before
        others = (self.steps[other] for other in range(at) if before >> other & 1)
        return all(other["together"] == together for other in others)

    def opened(self, state):
        return [at for at in range(len(self.steps)) if self.is_open(at, state)]

    def opened_in_order(self, state):
        """The one ordinary step that is open, as no two are open at once here; None if none is."""
        ordinary = [at for at in self.opened(state) if not self.steps[at]["undo"]]
        return ordinary[0] if len(ordinary) == 1 else None

    def broken_rules(self, at, state):
        return [
            rule["rule"] for rule in self.steps[at]["rules"] if not self.holds(rule["guard"], state)
        ]

    def done(self, at, state):
        step = self.steps[at]
        after = self.write(step["effect"], state, by=None if step["undo"] else at)
        return State(after.values, after.todo & ~(1 << at))

    def passed(self, at, state):
        """What is done over an ask: the engine moves, and nothing is proved by it."""
        step = self.steps[at]
        kept = [
            (c, v if not (self.proof[c] and v) or state.values[c] == v else 0)
            for c, v in step["effect"]
        ]
        claimed = self.done(at, state)  # what it takes away from others it takes all the same
        after = self.write(kept, state, by=None if step["undo"] else at)
        return State(after.values, claimed.todo)

    def may_pass(self, at, asks):
        """Whether the step's needs and moves leave it open that a rule that asks is broken."""
        needs = {}
        for c, mask in (*self.steps[at]["guard"], *self.steps[at]["moves"]):
            needs[c] = needs.get(c, -1) & mask
        if all(rule["rule"] not in asks for rule in self.steps[at]["rules"]):
            return False
        every = [(1 << len(each["values"])) - 1 for each in self.machine["conditions"]]
        return any(
            needs.get(c, -1) & every[c] & ~mask
            for rule in self.steps[at]["rules"]
            if rule["rule"] in asks
            for c, mask in rule["guard"]
        )

    def write(self, effect, state, by=None):
        """Write an effect. `by` is the ordinary step that does it; without it all makers go."""
        values, todo = list(state.values), state.todo
        for c, v in effect:
            for left, makers in self.makers.get(c, ()):
                if left == v or not (self.proof[c] or values[c] == left):
                    continue
                for maker in makers:
                    if self.proof[c] or by is None or maker > by:
                        todo |= 1 << maker
            values[c] = v
        return State(tuple(values), todo)

    def failed(self, at, failure, state):
        """Every state that a look after the failure may find."""
        step = self.steps[at]
        on_the_way = dict(map(tuple, step["on_the_way"]))
        after = self.write(failure["effect"], state)
        choices = []
        for c in failure["look"]:
            seen = on_the_way[c] | 1 << state.values[c]
            choices.append([(c, v) for v in range(seen.bit_length()) if seen >> v & 1])
        return [self.write(seen, after) for seen in itertools.product(*choices)]

    def is_finished(self, state, end="finished"):
        found = next(each for each in self.machine["ends"] if each["id"] == end)
        return not (found["all_must"] and state.todo) and self.holds(found["conditions"], state)

    def way_to_the_end(self, start, most=200_000):
        """
        Return a shortest list of steps to *finished*, or None if there is none.

        A step clears at most one todo, so the number of todos never overestimates what is left.
        """
        best = {start: 0}
        came = {}
        order = itertools.count()
        heap = [(start.todo.bit_count(), next(order), start)]
        while heap and len(best) < most:
            _, _, state = heapq.heappop(heap)
            if self.is_finished(state):
                way = []
                while state in came:
                    at, state = came[state]
                    way.append(at)
                return way[::-1]
            for at in self.opened(state):
                after, cost = self.done(at, state), best[state] + 1
                if cost < best.get(after, 1 << 30):
                    best[after], came[after] = cost, (at, state)
                    heapq.heappush(heap, (cost + after.todo.bit_count(), -next(order), after))
        return None
