"""
Which workshop a request is for: the only one here, or that of its host name.

Workshops of one installation are strangers to each other, and each has an origin of its own: a
browser keeps their pages, workers, databases and cookies apart by itself. Here it is the store that
does: a request has one (`access.store`), found before anything else is done, and no query names a
workshop. So none that was forgotten to be named can be answered out of another.

A workshop is opened when it is first asked for, by each process for itself, and let go of when
nobody has asked for a while. One that cannot be opened is refused by itself; the others go on.
"""

import logging
import math
import os
import threading
import time
import weakref
from collections import deque
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Protocol

from twoturns.store import Store, events
from twoturns.store.errors import NotAWorkshop, StoreError
from twoturns.store.installation import Installation
from twoturns.web.limits import Limits
from twoturns.web.problems import PROBLEMS, Refused
from twoturns.words import t
from twoturns.words.en.web import workshops as words

# Chosen: a phone asks about once a minute while it is used; after this nobody is there.
IDLE_SECONDS: Final = 1_800.0
# One that could not be opened is tried again after this, not at each request.
TRY_AGAIN_SECONDS: Final = 10.0
PATIENCE_SECONDS: Final = 2.0
# Each thread has connections of its own to the workshops that it served last. 64 threads and 300
# workshops would be 19,200 of them, each with two files and some memory.
MOST_IN_A_THREAD: Final = 8


@dataclass(eq=False)
class Served:
    """
    One workshop that is open here, and what its askers have spent.

    Of an installation's also its host name, which folder it was (device, inode), and when somebody
    asked for it last.
    """

    store: Store
    limits: Limits
    name: str | None = None
    folder: tuple[int, int] | None = None
    used: float = -math.inf


class Workshops(Protocol):
    """The workshops of one process."""

    def at(self, host: str | None) -> Served:
        """
        Return the workshop that is asked at a host name; None: the header has none.

        Raises:
            Refused: `untrusted-host` or `no-workshop`: nobody is asked there. `busy`, while it is
                being opened; another code, if it cannot be.
        """

    @property
    def names(self) -> list[str]:
        """The host names of an installation's; of the only one it is not asked."""


class OneWorkshop:
    """The only workshop of this process, by whatever name, or by the names given."""

    def __init__(self, served: Served, names: frozenset[str] | None) -> None:
        self.served, self._names = served, names

    def at(self, host: str | None) -> Served:
        if self._names is not None and host not in self._names:
            raise Refused("untrusted-host", t(words.UNTRUSTED_HOST, said=f"{(host or '')[:200]!r}"))
        return self.served

    @property
    def names(self) -> list[str]:
        return []


class ManyWorkshops:
    """
    The workshops of an installation.

    Args:
        installation: Its folder.
        only: The host names that this process answers to, where it does not to all.
        opened: What opens a folder.
        limits: What makes a workshop's limits; one for each, so that none spends another's.
        ticks: Seconds of a clock that never goes back.
    """

    def __init__(
        self,
        installation: Installation,
        *,
        opened: Callable[[Path], Store],
        limits: Callable[[Store], Limits],
        only: frozenset[str] = frozenset(),
        ticks: Callable[[], float] = time.monotonic,
    ) -> None:
        self.installation = installation
        self._only, self._opened, self._limits, self._ticks = only, opened, limits, ticks
        self._open: dict[str, Served] = {}
        self._turns: dict[str, threading.Lock] = {}
        self._failed: dict[str, tuple[float, Refused]] = {}
        self._thread = threading.local()

    @property
    def names(self) -> list[str]:
        """The host names of those that this process serves."""
        return [one for one in self.installation.names if not self._only or one in self._only]

    @property
    def each(self) -> list[str]:
        """Of each workshop that this process serves one host name: what is done for it once."""
        return self.installation.once(self.names)

    def open(self) -> list[Served]:
        """Return those that are open now."""
        return list(self._open.values())

    def at(self, host: str | None) -> Served:
        name = (host or "").lower()
        served = self.find(name)
        served.used = self._ticks()
        self._open.setdefault(name, served)  # let go of as idle just now, before that was said
        self._let_go_of_the_oldest(served)
        return served

    def find(self, name: str) -> Served:
        """Return a workshop, opening it if nobody has: by this it is not asked for. As `at`."""
        folder = None if self._only and name not in self._only else self.installation.find(name)
        at = None if folder is None else _identity(folder)
        if folder is None or at is None:
            self._open.pop(name, None)
            raise _nobody(name)
        served = self._open.get(name)
        # Put back from a backup, or moved: what lies there now is what counts.
        return served if served and served.folder == at else self._begin(name, folder, at)

    def let_go_of_the_idle(self) -> None:
        """Close those that nobody asks for. A request that is still at one ends as it began."""
        before = self._ticks() - IDLE_SECONDS
        for name, served in list(self._open.items()):
            if served.used < before:
                del self._open[name]

    def _begin(self, name: str, folder: Path, at: tuple[int, int]) -> Served:
        """Open a workshop: one thread does, others are not kept waiting for it."""
        turn = self._turns.setdefault(name, threading.Lock())
        if not turn.acquire(timeout=PATIENCE_SECONDS):
            raise Refused("busy", t(words.BEING_OPENED), retry_after_s=5)
        try:
            with events.of(name):
                return self._begun(name, folder, at)
        finally:
            turn.release()

    def _begun(self, name: str, folder: Path, at: tuple[int, int]) -> Served:
        there = self._open.get(name)
        if there is None or there.folder != at:
            store = self._store(name, folder)
            there = Served(store, self._limits(store), name, at)
            self._open[name] = there
        return there

    def _store(self, name: str, folder: Path) -> Store:
        since, why = self._failed.get(name, (0.0, None))
        if why is not None and self._ticks() - since < TRY_AGAIN_SECONDS:
            raise Refused(why.code, why.message)
        try:
            store = self._opened(folder)
        except StoreError as error:
            told = _as_told(error, name)
            self._failed[name] = (self._ticks(), told)
            logging.getLogger("twoturns").warning("not opened: %s", error)
            raise told from error
        self._failed.pop(name, None)
        return store

    def _let_go_of_the_oldest(self, served: Served) -> None:
        """Close this thread's connections to the workshop that it served longest ago."""
        mine: deque[weakref.ref[Served]] = self._thread.__dict__.setdefault("served", deque())
        here = weakref.ref(served)  # one that was closed is not kept open by who served it once
        with suppress(ValueError):
            mine.remove(here)
        mine.append(here)
        if len(mine) > MOST_IN_A_THREAD and (oldest := mine.popleft()()) is not None:
            oldest.store.let_go()


def opener(floor_bytes: int) -> Callable[[Path], Store]:
    """Return what opens the folder of a workshop to be served."""

    def opened(folder: Path) -> Store:
        store = Store(folder, floor_bytes=floor_bytes)
        store.look_over()
        store.tidy()
        return store

    return opened


def _as_told(error: StoreError, name: str) -> Refused:
    """Return what an asker is told of a workshop that cannot be opened: nothing of its folder."""
    if isinstance(error, NotAWorkshop):  # half made, or a newer program's
        return _nobody(name)
    code = error.code if error.code in PROBLEMS else "workshop-shut"
    return Refused(code, t(words.NOT_OPENED))


def _nobody(name: str) -> Refused:
    return Refused("no-workshop", t(words.NO_WORKSHOP, name=f"{name[:200]!r}"))


def _identity(folder: Path) -> tuple[int, int] | None:
    try:
        found = os.stat(folder)  # noqa: PTH116 - at each request
    except OSError:
        return None
    return found.st_dev, found.st_ino
