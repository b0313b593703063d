"""
A job's log as a graph: what each entry's links reach, and what reaches it.

Sets of entries are bit sets in one int, bit n for the n-th entry of `History.entries`. That order
is fixed by the links and the ids alone, so that no value depends on a clock or on who synced first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from twoturns.words import t
from twoturns.words.en.procedure.machine import log as words

MOST_HEADS = 16  # what an entry's `after` may name
UNREAD: Final = "unread"  # the kind of what only a newer program can read: it says nothing


@dataclass(frozen=True, slots=True)
class LogEntry:
    """What the fold reads of an entry: its claimed time is not among it."""

    id: str
    after: Sequence[str]
    kind: str
    body: Mapping[str, Any]
    standing: str
    person: str
    device: str

    @property
    def good(self) -> bool:
        """Whether it counts: neither doubted nor refused."""
        return self.standing == "good"


class History:
    """The entries in an order that keeps links, with the past and the future of each."""

    def __init__(self, entries: Sequence[LogEntry]) -> None:
        self.entries = _in_order({entry.id: entry for entry in entries})
        self.index = {entry.id: at for at, entry in enumerate(self.entries)}
        self.all = (1 << len(self.entries)) - 1
        self.past = self._pasts()
        self.future = self._futures()

    def beside(self, at: int) -> int:
        """Return the entries that an entry has not seen and that have not seen it."""
        return self.all & ~(self.past[at] | self.future[at] | 1 << at)

    def heads(self) -> list[str]:
        """Return the ids that a new entry names in `after`: the newest, at most 16, sorted."""
        newest = [e.id for at, e in enumerate(self.entries) if not self.future[at]]
        return sorted(newest)[:MOST_HEADS]

    def _pasts(self) -> list[int]:
        pasts: list[int] = []
        for entry in self.entries:
            past = 0
            for parent in _parents(entry, self.index):
                past |= pasts[self.index[parent]] | 1 << self.index[parent]
            pasts.append(past)
        return pasts

    def _futures(self) -> list[int]:
        # From the last to the first: an entry's future is whole before its parents take it over.
        futures = [0] * len(self.entries)
        for at in reversed(range(len(self.entries))):
            for parent in _parents(self.entries[at], self.index):
                futures[self.index[parent]] |= futures[at] | 1 << at
        return futures


def bits(entries: int) -> Iterator[int]:
    """Yield the members of a bit set, lowest first."""
    # Through text: one pass over the set, where taking bits off an int makes a new int each time.
    digits = f"{entries:b}"[::-1]
    at = digits.find("1")
    while at >= 0:
        yield at
        at = digits.find("1", at + 1)


def _parents(entry: LogEntry, known: Mapping[str, object]) -> list[str]:
    """A link to an entry that is not here leads nowhere: the standing says so."""
    return [parent for parent in entry.after if parent in known]


def _in_order(by_id: Mapping[str, LogEntry]) -> list[LogEntry]:
    """Sort by the length of the longest way back, then by id."""
    children: dict[str, list[str]] = {each: [] for each in by_id}
    waiting = {}
    for entry in by_id.values():
        parents = set(_parents(entry, by_id))
        waiting[entry.id] = len(parents)
        for parent in parents:
            children[parent].append(entry.id)
    depths: dict[str, int] = {}
    layer, depth = [each for each, count in waiting.items() if not count], 0
    while layer:
        depths.update(dict.fromkeys(layer, depth))
        following = []
        for parent in layer:
            for child in children[parent]:
                waiting[child] -= 1
                if not waiting[child]:
                    following.append(child)
        layer, depth = following, depth + 1
    if len(depths) < len(by_id):
        raise ValueError(t(words.ENTRIES_CIRCULAR))
    return sorted(by_id.values(), key=lambda entry: (depths[entry.id], entry.id))
