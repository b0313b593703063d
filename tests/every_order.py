"""
The oracle of the fold: what was proved in every order in which things can have happened.

An *order* is a sequence of all entries of a log in which every entry comes after those its links
reach. One of them is what really happened; nobody can tell which. `Run` walks one order as a single
phone with perfect knowledge would:

- a setting write sets a condition; `step.begun` and what is to be looked at add possible values;
  an entry that is not of good standing adds its values, too, and proves nothing;
- a done step of good standing counts when, just before it and its own beginnings left out, every
  possible value of each condition in its guard and its moves was inside the mask, and for each
  proof asked for it names one of good standing, inside its limits and taken after the step was
  last reset. Only then, and if it passed no rule, does it set its proofs; else it sets only the
  engine and what it makes unproved. House rules are left out: they bind phones, not engines;
- a step is reset when what it leaves is taken away: a proof by any other write, an engine value x
  by a write of another value while x was the value set (by an ordinary done step only if it is
  listed before); and by its own failing or reopening. A look at a value that an ordinary step can
  have brought, begun and neither done nor failed, takes only from that step and those listed after.

**A false proof** is a proof that the fold holds to be proved while in some order the last state of
that proof is another value. The fold must not make one: `false_proofs` counts them. And the
possible values that the fold gives an engine condition must hold those of every order.

Corrections say what a reading was all along, so they are known from the start of a run; logs given
here correct a reading at most once, so that no order decides which correction is the last.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from twoturns.procedure.machine.fold import LogEntry
from twoturns.procedure.machine.machine import Machine


def orders(entries: Sequence[LogEntry]) -> Iterator[list[LogEntry]]:
    """Yield every order of a log that its links allow."""
    known = {entry.id for entry in entries}

    def extend(done: list[LogEntry], rest: list[LogEntry]) -> Iterator[list[LogEntry]]:
        if not rest:
            yield done
        written = {entry.id for entry in done}
        for entry in rest:
            if all(parent in written or parent not in known for parent in entry.after):
                yield from extend([*done, entry], [other for other in rest if other is not entry])

    yield from extend([], list(entries))


@dataclass
class Engine:
    """
    An engine condition: the value set, and what may be on the way, with the step begun.

    `under_way` are those of the beginnings that can be believed, their step not done or failed.
    """

    value: int | None
    may_be: list[tuple[int, int | None]]
    under_way: list[tuple[int, int]] = field(default_factory=list)

    def explained_by(self, value: int) -> list[int]:
        return [step for mask, step in self.under_way if mask >> value & 1]

    def possible(self, every: int, without: int | None) -> int:
        mask = every if self.value is None else 1 << self.value
        for more, step in self.may_be:
            if step is None or step != without:
                mask |= more
        return mask


@dataclass
class Proved:
    """A proof: the value set, and the steps whose beginnings have made it unproved since."""

    value: int
    fallen: set[int]

    def now(self, without: int | None) -> int:
        return 0 if self.fallen - {without} else self.value


class Run:
    """
    One order, walked from its first entry to its last.

    Args:
        spoils: Reset for freshness also on writes that take nothing away, as the fold does: it
            cannot know what was taken in an order it has not seen. Needed to compare a straight
            log with the fold value for value; without it the oracle is the stricter one.
    """

    def __init__(self, machine: Machine, order: Sequence[LogEntry], *, spoils: bool = False):
        self.machine, self.order, self.spoils = machine, order, spoils
        self.corrected: dict[str, list[LogEntry]] = {}
        for entry in order:
            if entry.kind == "reading.corrected":
                self.corrected.setdefault(entry.body["of"], []).append(entry)
        self.state: list[Engine | Proved] = [
            Proved(0, set()) if each.proof else Engine(None, []) for each in machine.conditions
        ]
        self.fresh: list[set[str]] = [set() for _ in machine.steps]
        self.done: set[int] = set()
        self.waived: set[int] = set()
        for entry in order:
            self._walk(entry)

    def conditions(self, without: int | None = None) -> list[int]:
        """Return the possible values, one step's beginnings left out."""
        return [
            1 << now.now(without)
            if isinstance(now, Proved)
            else now.possible(self.machine.conditions[c].every, without)
            for c, now in enumerate(self.state)
        ]

    def _walk(self, entry: LogEntry) -> None:  # noqa: C901, PLR0912 - every kind in one place, to be read beside the rules
        step = self.machine.step_index.get(entry.body.get("step", ""))
        good = entry.standing == "good"
        if entry.kind == "job.opened":
            for c, each in enumerate(self.machine.conditions):
                self._set(entry, None, c, each.start)
        elif entry.kind == "condition.seen":
            c = self.machine.condition_index[entry.body["condition"]]
            self._set(entry, None, c, self.machine.conditions[c].values.index(entry.body["value"]))
        elif step is None:
            return
        elif entry.kind == "step.begun":
            for c, mask in self.machine.steps[step].on_the_way:
                self._add(c, mask, step)
                now = self.state[c]
                if good and isinstance(now, Engine):
                    now.under_way.append((mask, step))
        elif entry.kind == "step.done":
            self._do(entry, step)
            if good:
                self._settle(step)
        elif entry.kind == "step.failed":
            self._settle(step)
            self._fail(entry, step)
        elif entry.kind == "step.reopened":
            for c, value in self.machine.steps[step].reopen:
                self._set(entry, None, c, value)
            self._reset(step)
        elif entry.kind == "reading.taken" and good:
            self.fresh[step].add(entry.id)
        elif entry.kind == "review.gap" and good:
            self.waived.add(step)

    def _do(self, entry: LogEntry, step: int) -> None:
        counts = (
            entry.standing == "good" and self._is_in_order(step) and self._is_shown(entry, step)
        )
        proves = counts and not entry.body.get("passed")
        for c, value in self.machine.steps[step].effect:
            if value and self.machine.conditions[c].proof and not proves:
                continue
            self._set(entry, step, c, value)
        if counts:
            (self.done if proves else self.waived).add(step)

    def _is_in_order(self, step: int) -> bool:
        it, before = self.machine.steps[step], self.conditions(without=step)
        return all(not before[c] & ~mask for c, mask in (*it.guard, *it.moves))

    def _is_shown(self, entry: LogEntry, step: int) -> bool:
        by_id = {each.id: each for each in self.order}
        for proof in self.machine.steps[step].proof:
            named = [each for each in entry.body["proof"] if each in self.fresh[step]]
            named = [each for each in named if by_id[each].body["name"] == proof.name]
            assert proof.low
            assert proof.high
            low, high = Decimal(proof.low), Decimal(proof.high)
            if not any(all(low <= v <= high for v in self._values(by_id[e])) for e in named):
                return False
        return True

    def _values(self, reading: LogEntry) -> list[Decimal]:
        values = [reading.body["value"]]
        for correction in self.corrected.get(reading.id, []):
            values = [] if correction.standing == "good" else values
            values.append(correction.body["value"])
        return [Decimal(value) for value in values]

    def _fail(self, entry: LogEntry, step: int) -> None:
        it = self.machine.steps[step]
        for failure in it.fails:
            if failure.id == entry.body["failure"]:
                for c, value in failure.effect:
                    self._set(entry, step, c, value)
                look = failure.look
                break
        else:
            touched = {c for c, _ in (*it.effect, *it.on_the_way, *it.reopen)}
            for c in touched:
                if self.machine.conditions[c].proof:
                    self._set(entry, step, c, 0)
            look = tuple(c for c in touched if not self.machine.conditions[c].proof)
        for c, mask in it.on_the_way:
            if c in look:
                self._add(c, mask, None)
        self._reset(step)

    def _settle(self, step: int) -> None:
        for now in self.state:
            if isinstance(now, Engine):
                now.under_way = [each for each in now.under_way if each[1] != step]

    # What is written, and what that takes away.

    def _set(self, entry: LogEntry, step: int | None, c: int, value: int) -> None:
        now = self.state[c]
        if isinstance(now, Proved):
            self._take(c, value, None, step)
            self.state[c] = Proved(value, set())
            return
        # Nobody's work is lost with a value that was only on the way: what was set counts.
        taken = now.value
        ordinary = None
        if entry.kind == "step.done" and step is not None and not self.machine.steps[step].undo:
            ordinary = step
        if taken is not None and taken != value:
            self._take(c, value, taken, ordinary, since=self._since(entry, now, value))
        if self.spoils:
            self._spoil(c, value, ordinary)
        if entry.standing == "good":
            self.state[c] = Engine(value, [])
        else:
            now.may_be.append((1 << value, None))

    def _since(self, entry: LogEntry, now: Engine, value: int) -> int:
        """The first step that a look can find the work of, half done."""
        if entry.kind != "condition.seen":
            return 0
        steps = now.explained_by(value)
        return 0 if any(self.machine.steps[at].undo for at in steps) else min(steps, default=0)

    def _add(self, c: int, mask: int, step: int | None) -> None:
        now = self.state[c]
        if isinstance(now, Engine):
            now.may_be.append((mask, step))
        else:
            assert step is not None  # only a beginning makes a proof fall on the way
            self._take(c, 0, None, None, begun=step)
            now.fallen.add(step)

    def _take(
        self,
        c: int,
        value: int,
        taken: int | None,
        ordinary: int | None,
        begun: int | None = None,
        since: int = 0,
    ) -> None:
        proof = self.machine.conditions[c].proof
        for (of, left), makers in self.machine.makers.items():
            if of != c or left == value or not (proof or left == taken):
                continue
            for maker in makers:
                if proof or (maker >= since and (ordinary is None or maker > ordinary)):
                    self._reset(maker, keep_fresh=maker == begun)

    def _spoil(self, c: int, value: int, ordinary: int | None) -> None:
        for at, step in enumerate(self.machine.steps):
            if any(of == c and left != value for of, left in step.made) and (
                ordinary is None or at > ordinary
            ):
                self.fresh[at] = set()

    def _reset(self, step: int, *, keep_fresh: bool = False) -> None:
        self.done.discard(step)
        self.waived.discard(step)
        if not keep_fresh:
            self.fresh[step] = set()


Conditions = Callable[[Machine, Sequence[LogEntry]], list[int]]


def false_proofs(machine: Machine, entries: Sequence[LogEntry], judge: Conditions) -> list[Any]:
    """Return the orders in which something that a fold claims was not so: what, and the order."""
    claimed = judge(machine, entries)
    found = []
    for order in orders(entries):
        run = Run(machine, order).conditions()
        for c, mask in enumerate(claimed):
            wrong = run[c] & ~mask
            if wrong and not (machine.conditions[c].proof and mask & 1):
                found.append((c, mask, run[c], [entry.id for entry in order]))
    return found
