"""
Which entries prove a step: of the right kind, in its limits however they were corrected, and taken
after everything that could have spoilt them. See formats.md, section 6, Fold.
"""

from __future__ import annotations

from collections import defaultdict

from twoturns.procedure.machine.decimals import within
from twoturns.procedure.machine.log import History, LogEntry
from twoturns.procedure.machine.machine import Proof, Step

_READING = ("reading.taken",)
KINDS = {
    "reading": _READING,
    "count": _READING,
    "wait": _READING,
    "choice": _READING,
    "scan": ("part.fitted", "reading.taken"),
    "photo": ("photo.taken",),
    "signature": ("note.added",),
}
_MEASURED = ("reading", "count", "wait")

# For each proof of a done step, the entries it names that are of the right sort and fresh.
Named = tuple[tuple[Proof, tuple[int, ...]], ...]


class Evidence:
    """The proof entries of a log and their corrections."""

    def __init__(self, history: History) -> None:
        self.history = history
        self._readings: dict[str, int | None] = {}  # of each correction met so far
        self.corrections: dict[int, list[int]] = defaultdict(list)
        self.good_corrections: dict[int, int] = defaultdict(int)
        for at, entry in enumerate(history.entries):
            reading = self._corrected(entry)
            if reading is not None:
                self.corrections[reading].append(at)
                self.good_corrections[reading] |= entry.good << at

    def _corrected(self, entry: LogEntry) -> int | None:
        """Return the reading that is corrected; a correction of a correction is one of it, too."""
        way: list[str] = []
        found = None
        while entry.kind == "reading.corrected" and entry.id not in self._readings:
            self._readings[entry.id] = None  # `of` is only text, and might lead round in a circle
            way.append(entry.id)
            at = self.history.index.get(str(entry.body.get("of")))
            if at is None:
                break
            entry = self.history.entries[at]
            if entry.kind == "reading.taken":
                found = at
        if entry.kind == "reading.corrected":
            found = self._readings[entry.id]
        self._readings.update(dict.fromkeys(way, found))
        return found

    def named(self, done: int, step: Step, spoilers: int) -> Named:
        """
        Return for each proof the entries that a done step names for it.

        Args:
            done: The `step.done`.
            step: Its step.
            spoilers: The entries after which a proof of this step must be taken anew.
        """
        past = self.history.past
        fresh = [
            at
            for each in self.history.entries[done].body.get("proof", ())
            if (at := self.history.index.get(each)) is not None
            and past[done] >> at & 1
            and self.history.entries[at].good
            and not spoilers & past[done] & ~past[at]
        ]
        return tuple(
            (proof, tuple(at for at in fresh if self._is_for(proof, step, at)))
            for proof in step.proof
            if proof.kind != "confirm"
        )

    def _is_for(self, proof: Proof, step: Step, at: int) -> bool:
        entry = self.history.entries[at]
        return (
            entry.kind in KINDS[proof.kind]
            and entry.body.get("step") == step.id
            and entry.body.get("name") == proof.name
        )

    def holds(self, named: Named, among: int) -> bool:
        """Tell whether every proof has an entry that fits, as corrected by these entries."""
        return all(self.fits(proof, entries, among) for proof, entries in named)

    def fits(self, proof: Proof, entries: tuple[int, ...], among: int) -> bool:
        """Tell whether one of the entries named is inside the limits, whatever was corrected."""
        return any(
            self.history.entries[at].kind != "reading.taken"
            or all(_fits(proof, value) for value in self._values(at, among))
            for at in entries
        )

    def _values(self, reading: int, among: int) -> list[str]:
        """Return what a reading may be: corrections set, and if not of good standing, add."""
        good = self.good_corrections.get(reading, 0) & among
        live = [] if good else [reading]
        live += [
            at
            for at in self.corrections.get(reading, ())
            if among >> at & 1 and not good & self.history.future[at]
        ]
        return [self.history.entries[at].body["value"] for at in live]


def _fits(proof: Proof, value: str) -> bool:
    if proof.ok is not None:
        return value in proof.ok
    if proof.kind in _MEASURED:
        return within(value, proof.low, proof.high)
    return True
