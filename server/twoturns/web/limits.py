"""
How much one asker may ask for, so that none takes the workshop from the others.

The figures are many times what a phone sends on its worst day (600 photos and 500 entries after a
month away), and what is refused for them waits on the phone. They are kept in memory, by each
server process for itself and until it ends: a second process doubles them, and that is meant.

They come back by a clock that only goes forwards: one of the day may be set, and an allowance
emptied by a clock that was years ahead would stay empty until the process ends.

At the door only what fails is counted: a stranger who guesses pays for it, and a device whose
signature holds is let in whatever others did from its address. Where strangers come from is told
by `web.origin`.
"""

import math
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import cast

from flask import current_app

from twoturns.web.problems import Refused
from twoturns.words import t
from twoturns.words.en.web import limits as words

MOST_KNOWN = 10_000


@dataclass(frozen=True)
class Allowance:
    """What one asker may spend at once, and how fast it comes back."""

    code: str
    most: float
    a_second: float
    says: str


DAY = 86_400
AT_THE_DOOR = Allowance("too-many-requests", 120, 1, t(words.TOO_MANY_ATTEMPTS))
REQUESTS = Allowance("too-many-requests", 6_000, 10, t(words.TOO_MANY_REQUESTS))
JOBS = Allowance("too-many-jobs", 2_000, 2_000 / DAY, t(words.TOO_MANY_JOBS))
BYTES = Allowance("device-quota", 16 * 2**30, 16 * 2**30 / DAY, t(words.TOO_MANY_PHOTOS))
# A year without a line is 1,100 entries, 1 MB, and 800 private values; a mechanic's phone that
# brings back a workshop after a restore holds some 10 MB. An owner's brings all there ever was:
# 91 MB with 600 jobs.
TEXT = Allowance("device-quota", 64 * 2**20, 64 * 2**20 / DAY, t(words.TOO_MANY_ENTRIES))
OWNERS_TEXT = Allowance("device-quota", 2**30, 2**30 / DAY, t(words.TOO_MANY_OWNERS_ENTRIES))
VALUES = Allowance("device-quota", 20_000, 20_000 / DAY, t(words.TOO_MANY_VALUES))
OWNERS_VALUES = Allowance("device-quota", 500_000, 500_000 / DAY, t(words.TOO_MANY_OWNERS_VALUES))
# What a revoked device brings with the entries that are held back of it (`store.book`).
HELD_VALUES = Allowance("held-full", 2_000, 2_000 / (30 * DAY), t(words.HELD_VALUES_FULL))
HELD_BYTES = Allowance("held-full", 2 * 2**30, 2 * 2**30 / (30 * DAY), t(words.HELD_BYTES_FULL))
# A body that trickles, or stands still, holds its thread: so many that no few askers take them all.
BODIES = 48  # of the 64 threads of a process; the others are for requests without a body
BODIES_OF_STRANGERS = 16
BODIES_OF_ONE = 4
PATIENCE_S = 0.5


class Limits:
    """What askers have spent, and whose bodies are on their way in."""

    def __init__(self, ticks: Callable[[], float] = time.monotonic) -> None:
        """`ticks` counts seconds, from anywhere, and never goes back."""
        self._ticks = ticks
        self._left: dict[tuple[Allowance, str], tuple[float, float]] = {}
        self._bodies: list[tuple[str, bool]] = []
        self._turn = threading.Lock()
        self._place = threading.Condition()

    def require(self, allowance: Allowance, who: str, amount: float = 1) -> None:
        """Refuse, and say for how long, if this much is not left to an asker."""
        with self._turn:
            self._left_after(allowance, who, amount, self._ticks())

    def take(self, allowance: Allowance, who: str, amount: float = 1) -> None:
        """Take this much off what is left to an asker, or refuse as `require` does."""
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

    @contextmanager
    def body(self, who: str, *, is_stranger: bool) -> Iterator[None]:
        """
        Hold a place while a body comes in, which takes a thread for as long as the sender likes.

        Raises:
            Refused: `busy`, if too many come in at once: of all, of strangers, or of this one.
        """

        def has_room() -> bool:
            strangers = sum(1 for _, is_one in self._bodies if is_one)
            of_one = sum(1 for one, _ in self._bodies if one == who)
            return (
                len(self._bodies) < BODIES
                and of_one < BODIES_OF_ONE
                and not (is_stranger and strangers >= BODIES_OF_STRANGERS)
            )

        with self._place:
            # A body that is here already is read in no time: phones at one moment only queue.
            if not self._place.wait_for(has_room, PATIENCE_S):
                raise Refused("busy", t(words.TOO_MUCH_AT_ONCE), retry_after_s=5)
            self._bodies.append((who, is_stranger))
        try:
            yield
        finally:
            with self._place:
                self._bodies.remove((who, is_stranger))
                self._place.notify_all()


def limits() -> Limits:
    """Return the limits of this app."""
    return cast(Limits, current_app.extensions["twoturns-limits"])
