"""
What the entries of a log write to the conditions, and which values that leaves possible.

A *setting write* replaces what its past wrote. An *adder* adds possible values until a good setting
write of the condition has it in its past; every write of an entry that is not of good standing is
an adder. See formats.md, section 6, Fold.
"""

from __future__ import annotations

from twoturns.procedure.machine.log import History, LogEntry, bits
from twoturns.procedure.machine.machine import Machine, Pairs


def settings_of(machine: Machine, entry: LogEntry) -> Pairs:
    """Return the values that an entry leaves; a done step claims its proofs with them."""
    step = machine.step_index.get(str(entry.body.get("step")))
    if entry.kind == "job.opened":
        return tuple(
            (c, 0 if each.proof else each.start) for c, each in enumerate(machine.conditions)
        )
    if entry.kind == "condition.seen":
        return _seen(machine, entry)
    if step is None:
        return ()
    if entry.kind == "step.done":
        return machine.steps[step].effect
    if entry.kind == "step.reopened":
        return machine.steps[step].reopen
    if entry.kind == "step.failed":
        for failure in machine.steps[step].fails:
            if failure.id == entry.body.get("failure"):
                return failure.effect
        # A failure that the bundle does not know: its proofs fall, all else is to be looked at.
        it = machine.steps[step]
        touched = {c for c, _ in (*it.effect, *it.on_the_way, *it.reopen)}
        return tuple((c, 0) for c in sorted(touched) if machine.conditions[c].proof)
    return ()


def _seen(machine: Machine, entry: LogEntry) -> Pairs:
    """Only how the engine is can be seen; a proof is made."""
    condition = machine.condition_index.get(str(entry.body.get("condition")))
    if condition is None or machine.conditions[condition].proof:
        return ()
    values = machine.conditions[condition].values
    value = entry.body.get("value")
    return ((condition, values.index(value)),) if value in values else ()


def adders_of(machine: Machine, entry: LogEntry) -> Pairs:
    """Return the masks of values that an entry makes possible, besides those it leaves."""
    step = machine.step_index.get(str(entry.body.get("step")))
    if step is None:
        return ()
    it = machine.steps[step]
    if entry.kind == "step.begun":
        return it.on_the_way
    if entry.kind == "step.failed":
        for failure in it.fails:
            if failure.id == entry.body.get("failure"):
                return tuple((c, mask) for c, mask in it.on_the_way if c in failure.look)
        return tuple((c, mask) for c, mask in it.on_the_way if not machine.conditions[c].proof)
    return ()


class Writes:
    """Every write of a log, by condition."""

    def __init__(self, machine: Machine, history: History) -> None:
        self.machine, self.history = machine, history
        count = len(machine.conditions)
        self.settings_by = [settings_of(machine, entry) for entry in history.entries]
        self.adders_by = [adders_of(machine, entry) for entry in history.entries]
        self.of: list[dict[int, int]] = [{} for _ in range(count)]
        self.by = [0] * count
        self.settings, self.good_settings = [0] * count, [0] * count
        self.opened = 0
        self._contrary: dict[tuple[int, int], int] = {}
        for at, entry in enumerate(history.entries):
            self._add(at, entry)

    def _add(self, at: int, entry: LogEntry) -> None:
        self.opened |= (entry.kind == "job.opened") << at
        for c, value in self.settings_by[at]:
            self._write(at, c, 1 << value)
            self.settings[c] |= 1 << at
            self.good_settings[c] |= entry.good << at
        for c, mask in self.adders_by[at]:
            self._write(at, c, mask)

    def _write(self, at: int, c: int, mask: int) -> None:
        self.of[c][at] = self.of[c].get(at, 0) | mask
        self.by[c] |= 1 << at

    def possible(self, condition: int, among: int) -> int:
        """
        Return the possible values of an engine condition, judged by these entries alone.

        Where the beginning is missing and nothing good was written since, any value is possible.
        """
        good = self.good_settings[condition] & among
        if not good and not self.opened & among:
            return self.machine.conditions[condition].every
        return self._live(condition, among, good)

    def left(self, condition: int, among: int) -> int:
        """Return the values that good setting writes leave, without what may be on the way."""
        good = self.good_settings[condition] & among
        return self._live(condition, good, good)

    def _live(self, condition: int, among: int, good: int) -> int:
        """Return what these entries write, but what a good setting write of them replaced."""
        mask = 0
        for at in bits(self.by[condition] & among & ~self._replaced(good)):
            mask |= self.of[condition][at]
        return mask

    def _replaced(self, good: int) -> int:
        """Return all that is in the past of one of these."""
        replaced = 0
        rest = good
        while rest:  # the last one left is a head of them: no other has it in its past
            last = rest.bit_length() - 1
            replaced |= self.history.past[last]
            rest &= ~(self.history.past[last] | 1 << last)
        return replaced

    def on_the_way(self, condition: int, value: int, among: int) -> list[int]:
        """Return the good beginnings of these entries that may have brought a value."""
        replaced = self._replaced(self.good_settings[condition] & among)
        return [
            at
            for at in bits(self.by[condition] & among & ~replaced)
            if self.history.entries[at].kind == "step.begun"
            and self.history.entries[at].good
            and self.of[condition][at] >> value & 1
        ]

    def contrary(self, condition: int, allowed: int) -> int:
        """Return the entries that write a condition any value outside a mask."""
        if (condition, allowed) not in self._contrary:
            found = 0
            for at, written in self.of[condition].items():
                found |= bool(written & ~allowed) << at
            self._contrary[condition, allowed] = found
        return self._contrary[condition, allowed]
