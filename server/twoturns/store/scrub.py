"""
Reading the blobs through, all of them once in a while: a disk says nothing of a file nobody reads.

`twoturns scrub` reads all at once. While the workshop is served, one of its processes reads a part
of them each day, those first that were never read or not for longest; it waits three times as long
as it reads, and its thread stands behind all others.

A blob that is found altered or missing is told to owner and auditor, and asked back of the phones
that may have it (`wanted`).
"""

import logging
import os
import random
import threading
import time
from collections.abc import Callable, Iterator
from collections.abc import Set as AbstractSet
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from heapq import nsmallest
from math import ceil

from twoturns.store.blob_checks import Check, Found
from twoturns.store.blob_names import Named, types_claimed, where_named
from twoturns.store.blobs import Blobs, file_sha256
from twoturns.store.errors import PhotosAway
from twoturns.store.files import alone
from twoturns.store.sight import AnySight
from twoturns.store.store import Store
from twoturns.store.times import as_text
from twoturns.trade.media import HEAD_BYTES, media_type

ROUND_DAYS = 30  # all are read once in so many days
LEAST_A_DAY = 50
WAITS_FOR_EACH = 3  # so long as reading one took
LOOK_SECONDS = 600
LOW_PRIORITY = 15
WANTED_AT_ONCE = 200
DAMAGED = ("altered", "missing")  # what the right bytes put right

Clock = Callable[[], datetime]


@dataclass(frozen=True)
class Finding:
    """A blob that is not what it should be: what was found, when (an `at`), and what names it."""

    blob: str
    found: Found
    found_at: str
    named: Named


def scrub(store: Store, blobs: list[str] | None = None) -> Iterator[tuple[str, Found]]:
    """Read blobs through (none given: all that the ledger keeps), and yield what is found."""
    claimed = types_claimed(store.database, blobs)
    for blob in store.views.kept() if blobs is None else blobs:
        yield blob, look_at(store, blob, claimed.get(blob, set()))


def look_at(store: Store, blob: str, claimed: AbstractSet[str]) -> Found:
    """Read one blob, and make its thumbnail, if it has one, anew; note and return what is found."""
    found = _found(store.blobs, blob, claimed)
    if found not in DAMAGED and store.thumbnails.renew_if_other(blob):
        found = "misshown"
    store.checks.note(blob, found)
    return found


def judge_type(store: Store, blob: str) -> None:
    """Note a blob that has just come in if it is not the kind of image that its entry calls it."""
    claimed = types_claimed(store.database, [blob]).get(blob, set())
    if not claimed:
        return
    with suppress(FileNotFoundError), store.blobs.open(blob) as file:
        if claimed - {media_type(file.read(HEAD_BYTES))}:
            store.checks.note(blob, "mistyped")


def mend(store: Store, blob: str, backup: Blobs) -> bool:
    """Put a blob back from a backup's folder; False if it is not there, or damaged there too."""
    try:
        with backup.open(blob) as source:
            return store.blobs.bring(source, blob)
    except FileNotFoundError:
        return False


def findings(store: Store, most: int, sight: AnySight | None) -> tuple[list[Finding], int]:
    """
    Return what is not what it should be and a sight shows (None: all), the newest first, so many
    at most, and how many there are. What was put right meanwhile is left out.
    """
    bad = list(_still_bad(store, sight))
    told = [
        Finding(one.blob, one.found, one.found_at, where_named(store.database, one.blob))
        for one in bad[:most]
    ]
    return told, len(bad)


def _still_bad(store: Store, sight: AnySight | None) -> Iterator[Check]:
    for check in store.checks.bad():
        if not store.views.has_blob(check.blob, sight):
            continue  # erased since, never kept, or not for this device
        if check.found in DAMAGED and _is_whole_by_now(store, check.blob):
            store.checks.settle(check.blob)
            continue
        yield check


def _is_whole_by_now(store: Store, blob: str) -> bool:
    try:
        return store.blobs.check(blob) == "whole"
    except PhotosAway:
        return False  # it stays told as it was found


def wanted(store: Store, sight: AnySight | None) -> list[str]:
    """
    Return the blobs that a device may send again: damaged here, and of jobs in its sight.

    Of a disk full of damage some, by chance: what one phone no longer has must not hide the rest.
    While the store of the photos is away nothing is asked for: it could not be taken.
    """
    bad = store.checks.bad()
    with suppress(PhotosAway):
        return _wanted(store, sight, bad)
    return []


def _wanted(store: Store, sight: AnySight | None, bad: list[Check]) -> list[str]:
    return [
        check.blob
        for check in (bad if len(bad) <= WANTED_AT_ONCE else random.sample(bad, WANTED_AT_ONCE))
        if check.found in DAMAGED
        and store.views.has_blob(check.blob, sight)
        and store.blobs.check(check.blob) != "whole"
    ]


# Day by day.


def is_due(store: Store, now: datetime) -> bool:
    """Say whether a day has gone since the last part, or the clock was set back behind it."""
    last = store.checks.last_slice()
    return last is None or not as_text(now - timedelta(days=1)) < last <= as_text(now)


def read_slice(store: Store, now: datetime, rest: Callable[[float], None]) -> int:
    """Read the day's part of the blobs, with rests between; return how many were read."""
    store.checks.begin_slice(now)
    read = damaged = 0
    for blob in due(store, now):
        begun = time.monotonic()
        ((_, found),) = scrub(store, [blob])
        read += 1
        damaged += found in DAMAGED
        rest(WAITS_FOR_EACH * (time.monotonic() - begun))
    store.checks.end_slice(now, read, damaged)
    return read


def due(store: Store, now: datetime) -> list[str]:
    """Return the blobs to be read today, the longest unread first."""
    before, kept = as_text(now - timedelta(days=ROUND_DAYS)), store.views.kept_count()

    def old() -> Iterator[tuple[str, str]]:
        for some in store.views.kept_in_pieces():
            read_at = store.checks.read_at(some)
            yield from ((at, blob) for blob in some if (at := read_at.get(blob, "")) < before)

    longest_unread = nsmallest(max(ceil(kept / ROUND_DAYS), LEAST_A_DAY), old())
    return [blob for _, blob in longest_unread]


def begin_daily(store: Store, clock: Clock) -> None:
    """Have a thread read a part each day, for as long as this process lives."""
    threading.Thread(target=_daily, args=(store, clock), daemon=True, name="scrub").start()


def _daily(store: Store, clock: Clock) -> None:
    stand_behind()
    while True:
        look(store, clock)
        time.sleep(LOOK_SECONDS)


def stand_behind() -> None:
    """Have this thread go last of all."""
    with suppress(OSError, AttributeError):  # Linux alone gives a thread a priority of its own
        os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), LOW_PRIORITY)


def look(store: Store, clock: Clock) -> None:
    """Read the day's part, if it is due and no other process is at it."""
    try:
        with alone(store.folder / "scrub.lock") as is_alone:
            if is_alone and is_due(store, clock()):
                read_slice(store, clock(), time.sleep)
    except PhotosAway:
        pass  # the log has why
    except Exception:
        # A full disk, a busy file, whatever it was: the next look may find it otherwise, and a
        # thread that ends says so to nobody.
        logging.getLogger("twoturns").exception("reading the blobs through stopped")


def _found(blobs: Blobs, blob: str, claimed: AbstractSet[str]) -> Found:
    try:
        with blobs.open(blob) as file:
            head = file.read(HEAD_BYTES)
            file.seek(0)
            if file_sha256(file) != blob:
                return "altered"
    except FileNotFoundError:
        return "missing"
    return "mistyped" if claimed - {media_type(head)} else "whole"
