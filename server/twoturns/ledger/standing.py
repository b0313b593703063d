"""
Whether an entry can prove something, or only widen what is possible.

    forked    another entry of the device has the same seq: the key was copied, or a phone restored
    doubted   the device was revoked before, or may not write this kind, or says it is the console
    gap       an id in `after`, or the device's seq before this one, is not in the ledger
    good      none of these, or an owner or the console accepted it (`work.accepted`)

The worst wins, in that order. Computed from the ledger alone, so a rebuilt view and a verifier
come to the same; a gap closes when what was missing arrives. An entry that comes in can change the
standing of others: those of its device with the same seq or the next one, those whose `after`
names it, and, if it is a `work.accepted`, those it names.
"""

from collections import Counter
from collections.abc import Iterable
from typing import Literal, Protocol

from .entry import Entry
from .roster import Roster

Standing = Literal["good", "gap", "doubted", "forked"]


class Ledger(Protocol):
    """What must be known of a ledger. The store answers from its index, a bag from its records."""

    def has(self, entry_id: str) -> bool:
        """Say whether the ledger has this entry."""

    def count(self, device: str, seq: int) -> int:
        """Return how many entries of the device have this seq."""

    def is_accepted(self, entry_id: str) -> bool:
        """Say whether an acceptance that counts (`accepts`) names this entry."""


def standing(entry: Entry, index: int, roster: Roster, ledger: Ledger) -> Standing:
    """
    Return the standing of one entry.

    Args:
        entry: The entry, its signature checked.
        index: Its place in the ledger.
        roster: What is known of its device, statements after the entry included.
        ledger: The ledger it stands in.
    """
    if ledger.is_accepted(entry.id):
        return "good"
    if ledger.count(entry.device, entry.seq) > 1:
        return "forked"
    if not roster.has_right(entry, index):
        return "doubted"
    is_first = entry.seq == 1 or ledger.count(entry.device, entry.seq - 1) > 0
    if not (is_first and all(map(ledger.has, entry.after))):
        return "gap"
    return "good"


def accepts(entry: Entry, index: int, roster: Roster) -> bool:
    """Say whether an entry makes others good: a `work.accepted` by one who might write it."""
    return entry.kind == "work.accepted" and roster.has_right(entry, index)


class _Batch:
    """A ledger held in memory."""

    def __init__(self, records: list[tuple[int, Entry]], roster: Roster, *, is_whole: bool) -> None:
        self._is_whole = is_whole
        self._ids = {entry.id for _, entry in records}
        self._seqs = Counter((entry.device, entry.seq) for _, entry in records)
        self._accepted = {
            entry_id
            for index, entry in records
            if accepts(entry, index, roster)
            for entry_id in entry.body["entries"]
        }

    def has(self, entry_id: str) -> bool:
        return entry_id in self._ids

    def count(self, device: str, seq: int) -> int:
        return self._seqs[device, seq] or (0 if self._is_whole else 1)

    def is_accepted(self, entry_id: str) -> bool:
        return entry_id in self._accepted


def standings(
    records: Iterable[tuple[int, Entry]], roster: Roster, *, is_whole: bool = True
) -> dict[str, Standing]:
    """
    Return the standing of each entry, by id.

    Args:
        records: Entries with their place in the ledger, their signatures checked.
        roster: The roster after all of them.
        is_whole: False for one job's records: what the device wrote elsewhere is not among
            them, so a seq that is not there shows no gap, and a fork with another job no fork.
    """
    held = list(records)
    ledger = _Batch(held, roster, is_whole=is_whole)
    return {entry.id: standing(entry, index, roster, ledger) for index, entry in held}
