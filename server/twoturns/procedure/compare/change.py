"""
A change between two editions, and the few ways in which parts of them are laid side by side.

Everything here works on plain data that `compile/form.py` has judged; nothing is ever refused.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any, Literal

from twoturns.words import t
from twoturns.words.en.procedure.compare import change as words

#: What a change is about; the order is that in which they are told.
Kind = Literal[
    "step", "figure", "proof", "order", "instead", "caution", "tool", "kit", "failure",
    "text", "drive", "picture", "procedure",
]  # fmt: skip
Item = Mapping[str, Any]


@dataclass(frozen=True)
class Change:
    """
    One thing that is another.

    Args:
        kind: What it is about.
        says: It, in a sentence that begins with where: "step 23: nut 26 -> 28 N·m".
        step: The step's id, where it is about one: of the later edition, if it is there.
    """

    kind: Kind
    says: str
    step: str | None = None


@dataclass(frozen=True)
class Place:
    """Where a change is: how it is named, and the step's id if it is one."""

    says: str
    step: str | None = None

    def change(self, kind: Kind, what: str) -> Change:
        """Return a change at this place."""
        return Change(kind, t(words.AT, place=self.says, what=what), self.step)

    def part(self, says: str) -> Place:
        """Return a part of this place."""
        return Place(t(words.PART, place=self.says, part=says), self.step)


def value(place: Place, kind: Kind, name: str, before: object, after: object) -> Iterator[Change]:
    """Tell of a value that has a name: given now, no longer given, or another."""
    if before == after:
        return
    if before in (None, "", ()):
        yield place.change(kind, t(words.GIVEN, name=name, after=str(after)))
    elif after in (None, "", ()):
        yield place.change(kind, t(words.NOT_GIVEN, name=name, before=str(before)))
    else:
        yield place.change(kind, t(words.OTHER, name=name, before=str(before), after=str(after)))


def sentences(
    place: Place, kind: Kind, before: Sequence[str], after: Sequence[str]
) -> Iterator[Change]:
    """Tell of sentences said anew, no longer said, or said otherwise."""
    for tag, i, end_i, j, end_j in SequenceMatcher(None, before, after, False).get_opcodes():
        if tag == "equal":
            continue
        old, new = before[i:end_i], after[j:end_j]
        both = min(len(old), len(new))
        for was, says in zip(old[:both], new[:both], strict=True):
            yield place.change(kind, t(words.SAID_OTHERWISE, was=was, says=says))
        for was in old[both:]:
            yield place.change(kind, t(words.NO_LONGER_SAID, was=was))
        for says in new[both:]:
            yield place.change(kind, t(words.SAID_ANEW, says=says))


@dataclass(frozen=True)
class Sides:
    """Two lists of items laid side by side by their keys."""

    gone: list[Item]
    new: list[Item]
    both: list[tuple[Item, Item]]


def side_by_side(before: Iterable[Item], after: Iterable[Item], key: str) -> Sides:
    """Lay two lists side by side: what only one has, and the pairs in the later one's order."""
    old, new = ({item[key]: item for item in items} for items in (before, after))
    return Sides(
        [item for name, item in old.items() if name not in new],
        [item for name, item in new.items() if name not in old],
        [(old[name], item) for name, item in new.items() if name in old],
    )


def moved(before: Sequence[str], after: Sequence[str]) -> set[str]:
    """
    Return the fewest of those in both lists that must move to bring one order into the other.

    >>> sorted(moved("abcde", "aecbd"))
    ['b', 'e']
    """
    was = {name: at for at, name in enumerate(before)}
    runs: list[list[str]] = [[]]  # of each that is in both: the longest run up to it that stays
    for name in (name for name in after if name in was):
        staying = (run for run in runs if not run or was[run[-1]] < was[name])
        longest = max(staying, key=len)
        runs.append([*longest, name])
    stays = max(runs, key=len)
    return was.keys() & set(after) - set(stays)
