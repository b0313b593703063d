"""
How much one asker may ask for, so that none takes the workshop from the others.

The figures are many times what a phone sends on its worst day (600 photos and 500 entries after a
month away), and what is refused for them waits on the phone.

What protects the workshop's disk is counted in the workshop, over all processes that serve it
(`kept_as`, `store.allowances`): each draws a sixteenth at a time and spends it here. What protects
a process, its threads and its processor, is counted in memory, by each for itself and until it
ends: a second process doubles it, and that is meant. Nor may a stranger's attempts cost the
workshop a write. These come back by a clock that only goes forwards: one of the day may be set, and
an allowance emptied by a clock that was years ahead would stay empty until the process ends.

At the door only what fails is counted: a stranger who guesses pays for it, and a device whose
signature holds is let in whatever others did from its address. Where strangers come from is told
by `web.origin`.
"""

import math
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import cast

from flask import g

from twoturns.store.allowances import Allowances, Spent, Want
from twoturns.web.problems import Refused
from twoturns.words import t
from twoturns.words.en.web import limits as words

MOST_KNOWN = 10_000
PORTIONS = 16


@dataclass(frozen=True)
class Allowance:
    """What one asker may spend at once, and how fast it comes back."""

    code: str
    most: float
    a_second: float
    says: str
    kept_as: str | None = None  # its name in the workshop; None: counted by each process


DAY = 86_400
# A page has a dozen photos: some dozens of readers behind one address.
PAGES = Allowance("too-many-requests", 600, 2, t(words.TOO_MANY_PAGES))
# Packing one takes a second of a processor and more: by hand nobody takes so many.
PAGE_BAGS = Allowance("too-many-requests", 12, 1 / 600, t(words.TOO_MANY_PAGE_BAGS))
AT_THE_DOOR = Allowance("too-many-requests", 120, 1, t(words.TOO_MANY_ATTEMPTS))
REQUESTS = Allowance("too-many-requests", 6_000, 10, t(words.TOO_MANY_REQUESTS))
JOBS = Allowance("too-many-jobs", 2_000, 2_000 / DAY, t(words.TOO_MANY_JOBS), "jobs")
BYTES = Allowance("device-quota", 16 * 2**30, 16 * 2**30 / DAY, t(words.TOO_MANY_PHOTOS), "bytes")
# A year without a line is 1,100 entries, 1 MB, and 800 private values; a mechanic's phone that
# brings back a workshop after a restore holds some 10 MB. An owner's brings all there ever was:
# 91 MB with 600 jobs.
TEXT = Allowance("device-quota", 64 * 2**20, 64 * 2**20 / DAY, t(words.TOO_MANY_ENTRIES), "text")
OWNERS_TEXT = Allowance(
    "device-quota", 2**30, 2**30 / DAY, t(words.TOO_MANY_OWNERS_ENTRIES), "text"
)
VALUES = Allowance("device-quota", 20_000, 20_000 / DAY, t(words.TOO_MANY_VALUES), "values")
OWNERS_VALUES = Allowance(
    "device-quota", 500_000, 500_000 / DAY, t(words.TOO_MANY_OWNERS_VALUES), "values"
)
# What a revoked device brings with the entries that are held back of it (`store.book`).
HELD_VALUES = Allowance(
    "held-full", 2_000, 2_000 / (30 * DAY), t(words.HELD_VALUES_FULL), "held-values"
)
HELD_BYTES = Allowance(
    "held-full", 2 * 2**30, 2 * 2**30 / (30 * DAY), t(words.HELD_BYTES_FULL), "held-bytes"
)
# A body that trickles, or stands still, holds its thread: so many that no few askers take them all.
BODIES = 48  # of the 64 threads of a process; the others are for requests without a body
BODIES_OF_STRANGERS = 16
BODIES_OF_ONE = 4
BODIES_OF_A_WORKSHOP = 24  # of an installation's many
PATIENCE_S = 0.5


class Bodies:
    """
    Whose bodies are on their way in, at one process. They take its threads, whatever workshop they
    are for; so of many workshops none may have all that there are.
    """

    def __init__(self, of_one_workshop: int = BODIES) -> None:
        self._of_one_workshop = of_one_workshop
        self._held: list[tuple[int, str, bool]] = []
        self._place = threading.Condition()

    @contextmanager
    def hold(self, workshop: int, who: str, *, is_stranger: bool) -> Iterator[None]:
        """
        Hold a place while a body comes in, which takes a thread for as long as the sender likes.

        Raises:
            Refused: `busy`, if too many come in at once: of all, of strangers, of this workshop, or
                of this one.
        """
        mine = (workshop, who, is_stranger)

        def has_room() -> bool:
            strangers = sum(1 for *_, is_one in self._held if is_one)
            of_workshop = sum(1 for one, *_ in self._held if one == workshop)
            of_one = sum(1 for one in self._held if one[:2] == mine[:2])
            return (
                len(self._held) < BODIES
                and of_workshop < self._of_one_workshop
                and of_one < BODIES_OF_ONE
                and not (is_stranger and strangers >= BODIES_OF_STRANGERS)
            )

        with self._place:
            # A body that is here already is read in no time: phones at one moment only queue.
            if not self._place.wait_for(has_room, PATIENCE_S):
                raise Refused("busy", t(words.TOO_MUCH_AT_ONCE), retry_after_s=5)
            self._held.append(mine)
        try:
            yield
        finally:
            with self._place:
                self._held.remove(mine)
                self._place.notify_all()


class Limits:
    """What the askers of one workshop have spent."""

    def __init__(
        self,
        ticks: Callable[[], float] = time.monotonic,
        bodies: Bodies | None = None,
        kept: "Portions | None" = None,
    ) -> None:
        """
        `ticks` counts seconds, from anywhere, and never goes back. `bodies`: of the process.
        `kept`: of the workshop; without it all is counted here.
        """
        self._ticks, self._kept = ticks, kept
        self._left: dict[tuple[Allowance, str], tuple[float, float]] = {}
        self._bodies = bodies or Bodies()
        self._turn = threading.Lock()

    def body(self, who: str, *, is_stranger: bool) -> AbstractContextManager[None]:
        """Hold a place while a body comes in. As `Bodies.hold`."""
        return self._bodies.hold(id(self), who, is_stranger=is_stranger)

    def require(self, allowance: Allowance, who: str, amount: float = 1) -> None:
        """Refuse, and say for how long, if this much is not left to an asker."""
        if self._kept is not None and allowance.kept_as is not None:
            self._kept.require(allowance, who, amount)
            return
        with self._turn:
            self._left_after(allowance, who, amount, self._ticks())

    def take(self, allowance: Allowance, who: str, amount: float = 1) -> None:
        """Take this much off what is left to an asker, or refuse as `require` does."""
        self.take_all([(allowance, amount)], who)

    def take_all(self, spends: Sequence[tuple[Allowance, float]], who: str) -> None:
        """Take so much of each off what is left to an asker, or nothing, and refuse."""
        kept = [one for one in spends if self._kept is not None and one[0].kept_as is not None]
        own = [one for one in spends if one not in kept]
        for allowance, amount in own:
            self.require(allowance, who, amount)
        if self._kept is not None and kept:
            self._kept.take(kept, who)
        for allowance, amount in own:
            self._take(allowance, who, amount)

    def _take(self, allowance: Allowance, who: str, amount: float) -> None:
        with self._turn:
            now = self._ticks()
            left = self._left_after(allowance, who, amount, now)
            if len(self._left) >= MOST_KNOWN:
                self._forget_the_idle(now)
            self._left[allowance, who] = (left, now)

    def _left_after(self, allowance: Allowance, who: str, amount: float, now: float) -> float:
        left = self._left_at(now, allowance, who) - amount
        if left < 0:
            wait_s = math.ceil(-left / allowance.a_second)
            raise Refused(allowance.code, allowance.says, retry_after_s=wait_s)
        return left

    def _left_at(self, now: float, allowance: Allowance, who: str) -> float:
        left, since = self._left.get((allowance, who), (allowance.most, now))
        return min(allowance.most, left + (now - since) * allowance.a_second)

    def _forget_the_idle(self, now: float) -> None:
        """Forget who has spent nothing that is not back: remembering strangers must have an end."""
        full = [key for key in self._left if self._left_at(now, *key) >= key[0].most]
        for key in full or list(self._left)[: MOST_KNOWN // 2]:
            del self._left[key]


class Portions:
    """What this process has drawn of a workshop's allowances, and not spent yet."""

    def __init__(self, allowances: Allowances, clock: Callable[[], datetime]) -> None:
        self._allowances, self._clock = allowances, clock
        self._drawn: dict[tuple[str | None, str], float] = {}
        self._turn = threading.Lock()

    def require(self, allowance: Allowance, who: str, amount: float) -> None:
        """As `Limits.require`."""
        with self._turn:
            short = amount - self._drawn.get((allowance.kept_as, who), 0)
        if short > 0:
            with _told([allowance]):
                self._allowances.require(who, [_want(allowance, short)], self._clock())

    def take(self, spends: Sequence[tuple[Allowance, float]], who: str) -> None:
        """As `Limits.take_all`."""
        with self._turn:
            short = self._spend(spends, who)
        if not short:
            return
        wants = [_want(allowance, amount) for allowance, amount in short]
        with _told([allowance for allowance, _ in short]):
            drawn = self._allowances.draw(who, wants, self._clock())
        with self._turn:
            # What another thread spent meanwhile is owed, and drawn by who comes next.
            for (allowance, _), more in zip(short, drawn, strict=True):
                self._add(allowance, who, more)
            for allowance, amount in spends:
                self._add(allowance, who, -amount)

    def _spend(
        self, spends: Sequence[tuple[Allowance, float]], who: str
    ) -> list[tuple[Allowance, float]]:
        """Spend what was drawn; or say what must be drawn first, and spend nothing."""
        lacks = [(one, amount - self._drawn.get((one.kept_as, who), 0)) for one, amount in spends]
        short = [(one, lack) for one, lack in lacks if lack > 0]
        if not short:
            for one, amount in spends:
                self._add(one, who, -amount)
        return short

    def _add(self, allowance: Allowance, who: str, amount: float) -> None:
        if len(self._drawn) >= MOST_KNOWN:
            self._drawn.clear()
        key = (allowance.kept_as, who)
        self._drawn[key] = self._drawn.get(key, 0) + amount


def _want(allowance: Allowance, least: float) -> Want:
    return Want(
        allowance.kept_as or "",
        allowance.most,
        allowance.a_second,
        least,
        allowance.most / PORTIONS,
    )


@contextmanager
def _told(allowances: Sequence[Allowance]) -> Iterator[None]:
    """Turn what the store says of an allowance into a refusal in words."""
    try:
        yield
    except Spent as spent:
        one = next(each for each in allowances if each.kept_as == spent.name)
        raise Refused(one.code, one.says, retry_after_s=spent.wait_s) from spent


def limits() -> Limits:
    """Return the limits of the workshop that this request is for."""
    return cast(Limits, g.served.limits)
