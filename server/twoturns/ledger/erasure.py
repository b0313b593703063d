"""
When an erasure that was ordered may be carried out (formats.md, section 4).

An order hides what it names at once and is carried out after a delay, so that one owner's device
in a thief's hand cannot empty a workshop: any owner sees the order and withdraws it meanwhile. The
law that asks for erasing allows a month for it (Regulation (EU) 2016/679, article 12(3)), so no
delay is longer than four weeks. Pure: the store keeps the orders, the server has the clock.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final

from .entry import CONSOLE

MOST_DELAY_DAYS: Final = 28
_AT: Final = "%Y-%m-%dT%H:%M:%S.%fZ"


@dataclass(frozen=True, slots=True)
class Rule:
    """How long an order waits, and how many blobs one day erases."""

    delay_days: int
    blobs_a_day: int


# A week: somebody looks at the desk within it. 500 blobs: ten jobs a day, of some 40 each (from
# memory, no source); a thief whom nobody stops needs weeks for what a workshop did in a year.
FIRST: Final = Rule(delay_days=7, blobs_a_day=500)


@dataclass(frozen=True, slots=True)
class Ruled:
    """A rule that was stated: from when it holds, and when it was withdrawn, if ever."""

    rule: Rule
    begins: str
    withdrawn: str | None = None

    def holds(self, now: str) -> bool:
        """Say whether it has begun, and was not withdrawn before that."""
        return self.begins <= now and (self.withdrawn is None or self.withdrawn >= self.begins)


@dataclass(frozen=True, slots=True)
class Writer:
    """Who ordered or hastened: a device, and the person that came in with it."""

    device: str
    person: str


@dataclass(frozen=True, slots=True)
class Order:
    """An order that stands: which blobs it still has to erase, and from when it may."""

    id: str
    due: str
    is_hastened: bool
    blobs: tuple[str, ...]


def days_after(at: str, days: int) -> str:
    """
    Return the time so many days later.

    >>> days_after("2026-11-29T12:00:00.000Z", 7)
    '2026-12-06T12:00:00.000Z'
    """
    then = datetime.strptime(at, _AT).replace(tzinfo=UTC) + timedelta(days=days)
    return f"{then.replace(tzinfo=None).isoformat(timespec='milliseconds')}Z"


def in_force(ruled: Iterable[Ruled], now: str) -> Rule:
    """Return the rule that holds at a time: of those that have begun, the one that began last."""
    held = [one for one in ruled if one.holds(now)]
    return max(held, key=lambda one: one.begins).rule if held else FIRST


def may_hasten(second: Writer, ordered: Writer) -> bool:
    """
    Say whether a second voice makes an order due at once.

    The console's does; an owner's, if it is another person on another device. Whether its device
    was an owner's for long enough (`is_ripe`) is asked when it speaks.
    """
    if second.person == CONSOLE:
        return True
    return second.person != ordered.person and second.device != ordered.device


def is_ripe(enrolled: str, now: str, delay_days: int) -> bool:
    """
    Say whether a device came in long enough ago to be a second voice.

    A thief's first act could be to invite a second owner of his own: that one waits as an order
    does, and is seen among the people meanwhile.
    """
    return days_after(enrolled, delay_days) <= now


def to_carry_out(orders: Sequence[Order], now: str, carried_out: int, most: int) -> list[Order]:
    """
    Return the orders to carry out now, each whole.

    Args:
        orders: All that stand and have something left.
        now: The server's time.
        carried_out: Blobs that were erased in the last day.
        most: How many a day may erase. What was hastened does not ask, and counts. An order is
            never split: one that is larger goes on a day on which nothing went before.
    """
    chosen = [one for one in orders if one.is_hastened]
    left = most - carried_out - sum(len(one.blobs) for one in chosen)
    for one in sorted(orders, key=lambda one: (one.due, one.id)):
        if one.is_hastened or one.due > now:
            continue
        if len(one.blobs) > left and left < most:
            break  # the oldest first: none that is smaller overtakes it day after day
        chosen.append(one)
        left -= len(one.blobs)
    return chosen
