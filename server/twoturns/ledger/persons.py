"""
Whom a device speaks for: the person of its invitation, and those an owner admitted on it.

    device.invited   says who a person is: the highest role of all invitations counts
    device.serves    says whom a device speaks for besides, in the place of what was said before

A device never speaks for a person of a higher role than its own: who picks up the phone of the bay
is no owner. Judged so where the rules of the second edition hold (`Roster.has_right`).
"""

from collections.abc import Mapping
from typing import Final

RANK: Final[Mapping[str, int]] = {"auditor": 0, "mechanic": 1, "owner": 2}


class Persons:
    """What counting statements said of persons, each from its place in the ledger on."""

    def __init__(self) -> None:
        self._invited: dict[str, list[tuple[int, int]]] = {}
        self._served: dict[str, list[tuple[int, tuple[str, ...]]]] = {}

    def invite(self, index: int, person: str, role: str) -> None:
        """Take in a `device.invited`."""
        self._invited.setdefault(person, []).append((index, RANK[role]))

    def serve(self, index: int, device: str, persons: tuple[str, ...]) -> None:
        """Take in a `device.serves`."""
        self._served.setdefault(device, []).append((index, persons))

    def admitted(self, device: str, role: str, index: int) -> list[str]:
        """Return who is admitted on a device of a role, besides its own person, at a place."""
        served = next(
            (said for at, said in reversed(self._served.get(device, [])) if at <= index), ()
        )
        return [person for person in served if self._rank(person, index) <= RANK[role]]

    def _rank(self, person: str, index: int) -> int:
        """Return the highest rank that a person was invited in; who never was has the least."""
        return max((rank for at, rank in self._invited.get(person, []) if at <= index), default=0)
