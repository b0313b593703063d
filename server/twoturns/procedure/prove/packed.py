"""
A machine packed into integers, for walking every state that one phone can reach.

A state is one integer: a bit for each value of each condition, of which one is set, and above them
a bit for each must-step that is todo. So whether a step may be done is one look at the bits that
must not be there, and doing it is a few masks. Here every value is known and things follow one
another, so the rules of `fold` shrink to: write the effect, and let the makers of what was taken
away be todo again.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from twoturns.procedure import shape

Pair = Sequence[int]

# So many answers are kept for states that have the same bits in question. Where more are met they
# hardly come again, and are worked out anew: a million must not be held besides the states.
MOST_KEPT = 16_384


@dataclass(frozen=True, slots=True)
class Write:
    """
    An effect as masks; `takes`: a bit that it takes away, and what is set then.

    That is the makers that are todo again, and a proof's *unproved* where it falls.
    """

    keep: int
    sets: int
    always: int  # makers of the proofs it writes: todo, whatever was proved
    taken: int
    takes: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Doing:
    """One step as masks: it is open where no bit of `bad` is set."""

    bad: int
    needs: int  # the part of `bad` that its needs make
    own: int  # the bit that says it is todo; 0 for a step that is no must
    done: Write
    passed: Write
    rules: tuple[tuple[int, int], ...]  # a house rule, and the bits that break it
    breaking: int  # the bits of all of them


class Packed:
    """The moves of one machine over packed states."""

    def __init__(self, machine: shape.MachineForm) -> None:
        self.machine = machine
        self.steps: list[shape.MachineStep] = machine["steps"]
        self._proof = [condition["proof"] for condition in machine["conditions"]]
        self._every = [(1 << len(each["values"])) - 1 for each in machine["conditions"]]
        self._first: list[int] = []
        at = 0
        for condition in machine["conditions"]:
            self._first.append(at)
            at += len(condition["values"])
        self._todo = at
        self._makers = {(c, v): steps for c, v, steps in machine["makers"]}
        self.doings = [self._doing(at) for at in range(len(self.steps))]
        self._together = [bool(step["together"]) for step in self.steps]
        self._ways_back = [
            (at, doing.bad, doing.done.sets)
            for at, doing in enumerate(self.doings)
            if not doing.own
        ]
        self._seen_by_ways_back = 0
        for _, bad, sets in self._ways_back:
            self._seen_by_ways_back |= bad | sets
        self._open_ways_back: dict[int, list[int]] = {}
        self._fails = [
            [(failure, self._write(failure["effect"])) for failure in step["fails"]]
            for step in self.steps
        ]
        self.failures = [range(len(each)) for each in self._fails]
        #: For each step the bits on which it depends what it leaves; of all others it clears none.
        self.touched = [self._touched(at) for at in range(len(self.steps))]
        self.engine = self.outside(
            [(c, 0) for c, is_proof in enumerate(self._proof) if not is_proof]
        )
        self.on_the_way = [self._values(step["on_the_way"]) & self.engine for step in self.steps]
        self._looks: dict[tuple[tuple[int, int], ...], Write] = {}
        self._reopens = [self._write(step["reopen"]) for step in self.steps]
        #: For each end the bits of which none may be set.
        self.ends = [
            self.outside(end["conditions"]) | (-1 << self._todo if end["all_must"] else 0)
            for end in machine["ends"]
        ]

    # Masks.

    def bit(self, condition: int, value: int) -> int:
        """The bit of one value."""
        return 1 << (self._first[condition] + value)

    def outside(self, pairs: Sequence[Pair]) -> int:
        """The bits that these masks of values do not allow."""
        bad = 0
        for c, mask in pairs:
            bad |= (self._every[c] & ~mask) << self._first[c]
        return bad

    def _values(self, pairs: Sequence[Pair]) -> int:
        """The bits of these masks of values."""
        return sum(mask << self._first[c] for c, mask in pairs)

    def _listed_before(self, at: int) -> int:
        """The todo bits that must be clear before an ordinary step may open."""
        step = self.steps[at]
        return sum(
            1 << (self._todo + other)
            for other in range(at)
            if self.steps[other]["must"]
            and not (step["together"] and self.steps[other]["together"] == step["together"])
        )

    def _doing(self, at: int) -> Doing:
        step = self.steps[at]
        needs = self.outside(step["guard"])
        order = 0 if step["undo"] else self._listed_before(at)
        own = 1 << (self._todo + at) if step["must"] else 0
        by = None if step["undo"] else at
        # A mask of no value forbids always: some bit of its condition is set in every state.
        rules = tuple((rule["rule"], self.outside(rule["guard"])) for rule in step["rules"])
        breaking = 0
        for _, bits in rules:
            breaking |= bits
        return Doing(
            bad=needs | order | self.outside(step["moves"]),
            needs=needs | order,
            own=own,
            done=self._write(step["effect"], by, own),
            passed=self._write(step["effect"], by, own, proves=False),
            rules=rules,
            breaking=breaking,
        )

    def _touched(self, at: int) -> int:
        """What a step writes, done or failed or looked at, its todo bit, and its house rules."""
        step = self.steps[at]
        written = {c for c, _ in step["effect"]}
        for failure in step["fails"]:
            written |= {*(c for c, _ in failure["effect"]), *failure["look"]}
        doing = self.doings[at]
        return doing.own | doing.breaking | self.outside([(c, 0) for c in written])

    def _write(
        self,
        effect: Sequence[Pair],
        by: int | None = None,
        own: int = 0,
        *,
        since: int = 0,
        proves: bool = True,
    ) -> Write:
        """
        Return an effect as masks.

        Args:
            effect: Conditions and their values.
            by: The ordinary step that writes it; without it every maker of what is taken goes.
            own: The todo bit that is cleared.
            since: Of the engine only the makers from this step on go.
            proves: Without it a proof stays as it is, but falls where it was another.
        """
        keep, sets, always, taken = ~own, 0, 0, 0
        takes: list[tuple[int, int]] = []
        for c, value in effect:
            claims = self._proof[c] and value and not proves
            every = self._every[c] & ~(1 << value) if claims else self._every[c]
            keep &= ~((every & ~1 if claims else every) << self._first[c])
            sets |= 0 if claims else self.bit(c, value)
            for old in range(self._every[c].bit_length()):
                makers = 0
                for maker in self._makers.get((c, old), ()):
                    if self._proof[c] or (maker >= since and (by is None or maker > by)):
                        makers |= 1 << (self._todo + maker)
                makers &= ~own
                if old == value:
                    continue
                if self._proof[c]:
                    always |= makers
                    makers = self.bit(c, 0) if claims and old else 0
                if makers:
                    taken |= self.bit(c, old)
                    takes.append((self.bit(c, old), makers))
        return Write(keep, sets, always, taken, tuple(takes))

    @staticmethod
    def written(state: int, write: Write) -> int:
        """Return the state after an effect."""
        after = state & write.keep | write.sets | write.always
        if state & write.taken:
            for bit, then in write.takes:
                if state & bit:
                    after |= then
        return after

    # States.

    def start(self) -> int:
        """The state of a job that was just opened."""
        state = sum(1 << (self._todo + at) for at, step in enumerate(self.steps) if step["must"])
        for c, condition in enumerate(self.machine["conditions"]):
            state |= self.bit(c, condition["start"])
        return state

    def value(self, state: int, condition: int) -> int:
        """Return a condition's value in a packed state."""
        return (state >> self._first[condition] & self._every[condition]).bit_length() - 1

    def todo(self, state: int) -> int:
        """The must-steps that are todo, as a bit set."""
        return state >> self._todo

    def holds(self, state: int, pairs: Sequence[Pair]) -> bool:
        """Whether each of these conditions has a value inside its mask."""
        return not state & self.outside(pairs)

    def next_must(self, state: int) -> int | None:
        """The first must-step in listed order that is todo."""
        todo = self.todo(state)
        return (todo & -todo).bit_length() - 1 if todo else None

    def is_open(self, state: int, at: int) -> bool:
        """
        Needs, order and legal moves; never the house rules.

        A step that is no must is never todo: like a way back it is open when it would change
        something, but an ordinary one keeps its place in the order.
        """
        doing = self.doings[at]
        if state & doing.bad:
            return False
        if doing.own:
            return bool(state & doing.own)
        return state & doing.done.sets != doing.done.sets

    def is_to_do(self, state: int, at: int) -> bool:
        """Whether a step is todo or would change something: needs, order and moves left aside."""
        doing = self.doings[at]
        return bool(state & doing.own) if doing.own else state & doing.done.sets != doing.done.sets

    def opened(self, state: int) -> list[int]:
        """The steps that are open: of the ordinary ones only the next, and its neighbours."""
        found: list[int] = []
        todo = state >> self._todo
        while todo:
            at = (todo & -todo).bit_length() - 1
            doing = self.doings[at]
            if not state & doing.bad:
                found.append(at)
            if not self._together[at]:
                break
            todo &= todo - 1
        ways_back = self._open_ways_back.get(state & self._seen_by_ways_back)
        return found + (self._ways_back_from(state) if ways_back is None else ways_back)

    def _ways_back_from(self, state: int) -> list[int]:
        """What is no must and open, and is the same wherever the bits that it sees are the same."""
        found = [
            at for at, bad, sets in self._ways_back if not state & bad and state & sets != sets
        ]
        if len(self._open_ways_back) < MOST_KEPT:
            self._open_ways_back[state & self._seen_by_ways_back] = found
        return found

    def blocked(self, state: int) -> int | None:
        """The next step, if its turn has come, all it needs holds and it is still no legal move."""
        todo = state >> self._todo
        if not todo:
            return None
        at = (todo & -todo).bit_length() - 1
        doing = self.doings[at]
        return at if state & doing.bad and not state & doing.needs else None

    def broken(self, state: int, at: int) -> list[int]:
        """The house rules that doing a step here would break."""
        doing = self.doings[at]
        if not state & doing.breaking:
            return []
        return [rule for rule, bits in doing.rules if state & bits]

    def is_askable(self, at: int, asks: Collection[int]) -> bool:
        """Whether a step can come to a rule that asks: its needs do not keep the rule already."""
        doing = self.doings[at]
        return any(rule in asks and bits & ~doing.bad for rule, bits in doing.rules)

    def done(self, state: int, at: int) -> int:
        """Return the state after a step is done, by its number."""
        return self.written(state, self.doings[at].done)

    def passed(self, state: int, at: int) -> int:
        """A step done over an `ask`: the engine has moved, and nothing is proved by it."""
        return self.written(state, self.doings[at].passed)

    def gap(self, state: int, at: int) -> int:
        """A step that the owner accepts as it is: it is todo no longer, and proves nothing."""
        return state & ~self.doings[at].own

    def reopened(self, state: int, at: int) -> int:
        """Return the state after a step is reopened, by its number: it is todo again."""
        return self.written(state, self._reopens[at]) | 1 << (self._todo + at)

    def failed(self, state: int, at: int, number: int) -> Iterator[int]:
        """Every state that the looks after a step's failure, given by its number, can find."""
        failure, write = self._fails[at][number]
        after = self.written(state, write)
        if not failure["look"]:
            yield after
            return
        on_the_way = {pair[0]: pair[1] for pair in self.steps[at]["on_the_way"]}
        choices = []
        for c in failure["look"]:
            seen = on_the_way[c] | 1 << self.value(state, c)
            choices.append([(c, v) for v in range(seen.bit_length()) if seen >> v & 1])
        for seen_values in product(*choices):
            yield self.written(after, self._seen(seen_values))

    def _seen(self, values: tuple[tuple[int, int], ...]) -> Write:
        """What a look finds, as masks: the same looks come again in thousands of states."""
        write = self._looks.get(values)
        if write is None:
            write = self._looks[values] = self._write(values)
        return write

    def interrupted(self, state: int, at: int) -> Iterator[tuple[tuple[Pair, ...], int]]:
        """
        Every state that looks can find where a step was begun and left, with what they see.

        What was half done takes what the step would have taken, and the step itself.
        """
        step = self.steps[at]
        fallen = [(c, 0) for c, _ in step["on_the_way"] if self._proof[c]]
        after = self.written(state, self._write(fallen))
        choices = []
        for c, mask in step["on_the_way"]:
            if not self._proof[c]:
                seen = mask | 1 << self.value(state, c)
                choices.append([(c, v) for v in range(seen.bit_length()) if seen >> v & 1])
        since = 0 if step["undo"] else at
        for found in product(*choices):
            looked = after
            for c, v in found:
                # A look at what was there before the beginning takes nothing.
                if v != self.value(state, c):
                    looked = self.written(looked, self._write([(c, v)], since=since))
            yield found, looked

    def ended(self, state: int) -> list[int]:
        """The ends whose conditions hold here."""
        return [at for at, bad in enumerate(self.ends) if not state & bad]
