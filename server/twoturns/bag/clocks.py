"""What a device's clock said against when the workshop received it. Nothing here decides."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from twoturns.ledger.record import Record
from twoturns.words import t
from twoturns.words.en.bag import clocks as words

AHEAD_MS: Final = 60_000  # chosen: within a minute of ours a phone's clock is no oddity


@dataclass(frozen=True)
class Clock:
    """
    A device's clock over `entries` of a job: how long one waited at most to be received, how many
    are dated after that (`ahead`) or with no time at all, and the least and most measured offset.
    """

    entries: int
    longest_wait_ms: int | None
    ahead: int
    undated: int
    offsets_ms: tuple[int, int] | None


def moment_ms(at: str) -> int | None:
    """Return the milliseconds since 1970 of an `at`, or None where it names no time."""
    try:
        when = datetime.fromisoformat(at)
    except ValueError:
        return None
    return int(when.timestamp() * 1000)


def day_of(record: Record) -> str:
    """
    Return the day on which an entry was written, YYYY-MM-DD in UTC: by its device's clock, with the
    measured offset taken out; when it was received, where that clock names no time or one to come.
    """
    wrote = moment_ms(record.entry.at)
    if wrote is None:
        return record.received[:10]
    try:
        at = datetime.fromtimestamp((wrote - (record.offset_ms or 0)) / 1000, UTC)
    except (ValueError, OverflowError):  # before the year 1, or after 9999
        return record.received[:10]
    return min(at.isoformat()[:10], record.received[:10])


def waited_ms(record: Record) -> int | None:
    """
    Return how long an entry waited on its device, by that device's clock.

    The measured offset is taken out where there is one. Below zero: the device says that it
    wrote the entry after it was received.
    """
    wrote, received = moment_ms(record.entry.at), moment_ms(record.received)
    if wrote is None or received is None:
        return None
    return received - (wrote - (record.offset_ms or 0))


def spoken(ms: int) -> str:
    """
    Say a duration in whole minutes.

    >>> spoken(11_640_000)
    '3 h 14 min'
    """
    hours, minutes = divmod(round(ms / 60_000), 60)
    return t(words.HOURS_MINUTES, h=hours, min=minutes) if hours else t(words.MINUTES, min=minutes)


def of_device(records: Iterable[Record]) -> Clock:
    """Return how a device's clock stood over its entries of the job."""
    held = list(records)
    waits = [waited_ms(one) for one in held]
    told = [wait for wait in waits if wait is not None]
    offsets = [one.offset_ms for one in held if one.offset_ms is not None]
    return Clock(
        entries=len(held),
        longest_wait_ms=max(0, *told) if told else None,
        ahead=sum(wait < -AHEAD_MS for wait in told),
        undated=waits.count(None),
        offsets_ms=(min(offsets), max(offsets)) if offsets else None,
    )


def said_of(clock: Clock) -> str:
    """Say how a device's clock stood."""
    least, most = clock.offsets_ms or (0, 0)
    return t(
        words.CLOCK,
        entries=clock.entries,
        waited=clock.longest_wait_ms is not None,
        wait=spoken(clock.longest_wait_ms or 0),
        ahead=clock.ahead,
        undated=clock.undated,
        measured=clock.offsets_ms is not None,
        least=f"{least:+d}",
        most=f"{most:+d}",
    )
