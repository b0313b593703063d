"""
Whether an entry can prove something, or only widen what is possible.

    forked    another entry of the device has the same seq: the key was copied, or a phone restored
              (by the rules of edition 2 it, and the other, came before the device was revoked, or
              was accepted: else a thief could fork what was written in good faith before)
    doubted   the device was revoked before, or may not write this kind, or says it is the console
    gap       an id in `after`, or the device's seq before this one, is not in the ledger
    good      none of these, or an owner or the console accepted it (`work.accepted`)

The worst wins, in that order. Computed from the ledger alone, so a rebuilt view and a verifier
come to the same; a gap closes when what was missing arrives. An entry that comes in can change the
standing of others: those of its device with the same seq, if it is the second one that can fork;
with the next seq, if it is the first of its own; those whose `after` names it; and, if it is a
`work.accepted`, those it names and their twins.
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

    def has_seq(self, device: str, seq: int) -> bool:
        """Say whether an entry of the device has this seq."""

    def is_forked(self, device: str, seq: int) -> bool:
        """
        Say whether the device has several entries of this seq, those aside that `forks_nothing`
        tells of and nobody accepted.
        """

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
    if forks_nothing(entry, index, roster):
        return "doubted"
    if ledger.is_forked(entry.device, entry.seq):
        return "forked"
    if not roster.has_right(entry, index):
        return "doubted"
    is_first = entry.seq == 1 or ledger.has_seq(entry.device, entry.seq - 1)
    if not (is_first and all(map(ledger.has, entry.after))):
        return "gap"
    return "good"


def accepts(entry: Entry, index: int, roster: Roster) -> bool:
    """Say whether an entry makes others good: a `work.accepted` by one who might write it."""
    return entry.kind == "work.accepted" and roster.has_right(entry, index)


def came_late(entry: Entry, index: int, roster: Roster) -> bool:
    """Say whether an entry came in after its device was revoked."""
    device = roster.device(entry.device)
    return device is not None and device.revoked_at is not None and device.revoked_at < index


def forks_nothing(entry: Entry, index: int, roster: Roster) -> bool:
    """
    Say whether an entry that nobody accepted is but doubted, whatever number it has.

    By the rules of edition 2 it is so of what came late: whoever found or stole a phone can number
    anew from 1, and must not take what was written on it before out of evidence.
    """
    return came_late(entry, index, roster) and roster.edition_at(index) >= 2


class _Batch:
    """A ledger held in memory."""

    def __init__(self, records: list[tuple[int, Entry]], roster: Roster, *, is_whole: bool) -> None:
        self._is_whole = is_whole
        self._ids = {entry.id for _, entry in records}
        self._seqs = {(entry.device, entry.seq) for _, entry in records}
        self._accepted = {
            entry_id
            for index, entry in records
            if accepts(entry, index, roster)
            for entry_id in entry.body["entries"]
        }
        self._forking = Counter(
            (entry.device, entry.seq)
            for index, entry in records
            if entry.id in self._accepted or not forks_nothing(entry, index, roster)
        )

    def has(self, entry_id: str) -> bool:
        return entry_id in self._ids

    def has_seq(self, device: str, seq: int) -> bool:
        return (device, seq) in self._seqs or not self._is_whole

    def is_forked(self, device: str, seq: int) -> bool:
        return self._forking[device, seq] > 1

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
