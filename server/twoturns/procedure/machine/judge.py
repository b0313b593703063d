"""
What the entries of a log take away, and which of its done steps count: the fold's judgement.

An entry is judged by what it had seen, its past; what it had not seen and what had not seen it is
*beside* it. `View` says what any set of entries says; `Judgement.valid` what counts in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twoturns.procedure.machine.log import History, LogEntry, bits
from twoturns.procedure.machine.machine import Machine
from twoturns.procedure.machine.state import StepStatus
from twoturns.procedure.machine.step_proofs import Evidence, Named
from twoturns.procedure.machine.writes import Writes


class Done:
    """A `step.done` of good standing, judged by what was before it."""

    def __init__(self, at: int, step: int) -> None:
        self.at, self.step = at, step
        self.in_order = False
        self.early = False  # a must-step listed before it was todo
        self.broken: list[int] = []
        self.asked: list[int] = []
        self.named: Named = ()
        self.contrary = 0  # entries beside it that its place in the order cannot bear
        self.supports: list[int] = []  # for each proof it needs, the done entries that proved it

    @property
    def counts(self) -> bool:
        """Whether it was done in order, breaking no rule, with all that it asks for."""
        return self.in_order and not self.broken and all(entries for _, entries in self.named)


class View:
    """What a set of entries says, as if there were no others."""

    def __init__(self, of: Judgement, among: int) -> None:
        self.of, self.among = of, among
        self.valid = of.valid(among)
        self._conditions: dict[int, int] = {}

    def condition(self, c: int) -> int:
        """Return the possible values of a condition."""
        if c not in self._conditions:
            proof = self.of.machine.conditions[c].proof
            mask = self._proof(c) if proof else self.of.writes.possible(c, self.among)
            self._conditions[c] = mask
        return self._conditions[c]

    def conditions(self) -> list[int]:
        """Return the value of each condition, by number."""
        return [self.condition(c) for c in range(len(self.of.machine.conditions))]

    def _proof(self, c: int) -> int:
        mask = 0
        for value in range(1, len(self.of.machine.conditions[c].values)):
            if self.support(c, 1 << value):
                mask |= 1 << value
        rests = self.of.machine.rests.get(c, ())
        return mask if mask and all(not self.condition(r) & 1 for r in rests) else 1

    def support(self, c: int, wanted: int) -> int:
        """Return the done entries that prove one of these values, each on its own."""
        found = 0
        for at, value in self.of.claims[c]:
            if not (self.valid & self.of.proving) >> at & 1 or not wanted >> value & 1:
                continue
            if not self.of.writes.contrary(c, 1 << value) & self.among & ~self.of.history.past[at]:
                found |= 1 << at
        return found

    def step(self, s: int) -> tuple[StepStatus, list[int]]:
        """Return how a step stands, and the entries that make it so."""
        if self.of.machine.steps[s].undo:
            return "todo", []
        standing = [
            at
            for at in bits((self.of.dones[s] & self.valid | self.of.gaps[s]) & self.among)
            if not self.of.resets[s] & self.among & ~self.of.history.past[at]
        ]
        done = [at for at in standing if self.of.proving >> at & 1]
        if done:
            return "done", done
        return ("waived", standing) if standing else ("todo", [])


class Judgement:
    """What one log's entries take away and prove. Each entry is judged by its past alone."""

    def __init__(self, machine: Machine, entries: Sequence[LogEntry]) -> None:
        self.machine = machine
        self.history = History(entries)
        self.writes = Writes(machine, self.history)
        self.evidence = Evidence(self.history)
        count = len(machine.steps)
        self.step_of = [self._step_of(entry) for entry in self.history.entries]
        self.begun, self.dones, self.gaps = [0] * count, [0] * count, [0] * count
        self.failed, self.reopened = [0] * count, [0] * count
        self.claims: list[list[tuple[int, int]]] = [[] for _ in machine.conditions]
        self._sort()
        self.spoilers = [self._spoilers(s) for s in range(count)]
        self.resets = [0] * count
        self.causes: list[dict[int, int | None]] = [{} for _ in range(count)]
        self.judged: dict[int, Done] = {}
        self.counting = 0  # done entries that count, if nothing beside them is in the way
        self.proving = 0  # those of them that passed no rule that asks
        for at in range(len(self.history.entries)):
            self._lose(at)
            step = self.step_of[at]
            if step is not None and self.dones[step] >> at & 1:
                self._judge(Done(at, step))

    def _step_of(self, entry: LogEntry) -> int | None:
        return self.machine.step_index.get(str(entry.body.get("step")))

    def _sort(self) -> None:
        """Find the entries of each step by kind. What is not of good standing proves nothing."""
        for at, entry in enumerate(self.history.entries):
            step = self.step_of[at]
            if step is None:
                continue
            if entry.kind == "step.begun":
                self.begun[step] |= 1 << at
            elif entry.kind == "step.failed":
                self.failed[step] |= 1 << at
            elif entry.kind == "step.reopened":
                self.reopened[step] |= 1 << at
            elif entry.kind == "review.gap" and entry.good:
                self.gaps[step] |= 1 << at
            elif entry.kind == "step.done" and entry.good:
                self.dones[step] |= 1 << at
                for c, value in self.machine.steps[step].effect:
                    if value and self.machine.conditions[c].proof:
                        self.claims[c].append((at, value))

    # What an entry takes away.

    def _spoilers(self, s: int) -> int:
        """Return the entries that may take away what a step leaves, whatever was before them."""
        found = self.failed[s] | self.reopened[s]
        for c, value in self.machine.steps[s].made:
            contrary = self.writes.contrary(c, 1 << value)
            if self.machine.conditions[c].proof:
                found |= contrary & ~self.begun[s]
            else:
                settings = contrary & self.writes.settings[c]
                found |= sum(1 << at for at in bits(settings) if self._reaches(at, s))
        return found

    def _reaches(self, at: int, s: int) -> bool:
        """An ordinary step done takes from the engine only what steps listed after it left."""
        by = self.step_of[at]
        if by is None or self.history.entries[at].kind != "step.done":
            return True
        return self.machine.steps[by].undo or s > by

    def before(self, at: int) -> int:
        """Return the entries a step is judged by: its past, its own beginnings left out."""
        past, step = self.history.past[at], self.step_of[at]
        if step is None or self.history.entries[at].kind not in ("step.done", "step.failed"):
            return past
        return past & ~self.begun[step]

    def _lose(self, at: int) -> None:
        """Reset the makers of what an entry takes away."""
        before = self.before(at)
        for c, value in self.writes.settings_by[at]:
            if self.machine.conditions[c].proof:
                self._reset(at, c, ~(1 << value), 0)
            else:
                left = self.writes.left(c, before)
                seen = self.history.entries[at].kind == "condition.seen"
                since = self._begun_with(c, value, before) if seen and not left >> value & 1 else 0
                self._reset(at, c, left & ~(1 << value), since)
        for c, mask in self.writes.adders_by[at]:
            if self.machine.conditions[c].proof:
                self._reset(at, c, ~mask, 0)
        step = self.step_of[at]
        if step is not None and (self.failed[step] | self.reopened[step]) >> at & 1:
            self.resets[step] |= 1 << at
            self.causes[step].setdefault(at, None)

    def _begun_with(self, c: int, value: int, before: int) -> int:
        """
        Return the first step that a look at this value can be the work of: begun, and not settled.

        Then what is listed before it stays done, as if it were done itself. 0 where no begun step
        explains the value, or a way back does, which has no place in the order.
        """
        begun = [
            s
            for at in self.writes.on_the_way(c, value, before)
            if (s := self.step_of[at]) is not None
            and not self.history.future[at] & before & (self.dones[s] | self.failed[s])
        ]
        return 0 if any(self.machine.steps[s].undo for s in begun) else min(begun, default=0)

    def _reset(self, at: int, c: int, taken: int, since: int) -> None:
        """Reset the makers of values that were taken, of the engine those from a step on."""
        proof = self.machine.conditions[c].proof
        for value, makers in self.machine.makers_of.get(c, ()):
            for s in makers if taken >> value & 1 else ():
                if proof or (s >= since and self._reaches(at, s)):
                    self.resets[s] |= 1 << at
                    self.causes[s].setdefault(at, c)

    # Whether a done step counts.

    def _judge(self, done: Done) -> None:
        view = View(self, self.before(done.at))
        step = self.machine.steps[done.step]
        needs = (*step.guard, *step.moves)
        done.in_order = all(not view.condition(c) & ~mask for c, mask in needs)
        done.early = any(view.step(s)[0] == "todo" for s in self.machine.before[done.step])
        self._ask_rules(done, view)
        done.named = self.evidence.named(done.at, step, self.spoilers[done.step])
        for c, mask in needs:
            if self.machine.conditions[c].proof and not mask & 1:
                done.supports.append(view.support(c, mask))
        beside = self.history.beside(done.at)
        if beside:
            done.contrary = self._contrary(done.step) & beside
        self.judged[done.at] = done
        if done.counts:
            self.counting |= 1 << done.at
            if not self.history.entries[done.at].body.get("passed"):
                self.proving |= 1 << done.at

    def _ask_rules(self, done: Done, view: View) -> None:
        passed = {each["rule"] for each in self.history.entries[done.at].body.get("passed", ())}
        for rule in self.machine.steps[done.step].rules:
            asked = self.machine.rules[rule.rule]
            if asked.ask and asked.id in passed:
                done.asked.append(rule.rule)
            elif any(view.condition(c) & ~mask for c, mask in rule.guard):
                done.broken.append(rule.rule)

    def _contrary(self, s: int) -> int:
        """Return the entries that, if they came between, would put a step out of order."""
        step = self.machine.steps[s]
        found = self.spoilers[s]
        for c, mask in (*step.guard, *step.moves):
            found |= self.writes.contrary(c, mask) & ~self.begun[s]
        return found

    def valid(self, among: int) -> int:
        """
        Return the done entries that were in order, in whatever order these entries happened.

        Nothing beside one may be contrary to it, but the same step done by two who did not know of
        each other: then one of the two came first, and was in order. And the proofs it needed must
        themselves have been in order. What is left when all others are struck off is valid.
        """
        valid = self.counting & among
        while True:
            struck = sum(
                1 << at for at in bits(valid) if not self._bears(self.judged[at], valid, among)
            )
            if not struck:
                return valid
            valid &= ~struck

    def _bears(self, done: Done, valid: int, among: int) -> bool:
        return (
            not done.contrary & among & ~self.twins(done.step, valid)
            and all(proved & valid for proved in done.supports)
            and self.evidence.holds(done.named, among)
        )

    def twins(self, step: int, valid: int) -> int:
        """
        Return the valid doings of a step that proved what it proves, and that another may rely on.

        None where what it proves falls on its way: then the one came first and proved it, the
        other's beginning took it away, and the other was too late to prove it anew.
        """
        return 0 if step in self.machine.proving_anew else self.dones[step] & valid & self.proving

    def among(self, entries: int) -> Iterator[tuple[int, LogEntry]]:
        """Yield the entries of a set with their places, in order."""
        for at in bits(entries):
            yield at, self.history.entries[at]
