"""
What devices may still have of a workshop's disk: counted here, over all processes that serve it.

A process draws a portion and spends it by itself, so that a device's request seldom costs a write.
What it drew and never spends is lost to the device, and comes back with time; so of each allowance
there may be open one portion a process, and no more.

One number stands of each: when all of it will be there again. What is drawn moves that on, by as
long as it takes to come back (the generic cell rate algorithm: ITU-T I.371, annex A). Neither truth
nor view: losing these rows gives every device a fresh day. An older ledger has no table of them
before somebody draws.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from twoturns.store.port import Connection, Database

TABLE: Final = """
create table if not exists allowances (
    who text not null, name text not null, full_at_ms integer not null,
    primary key (who, name)) strict, without rowid
"""


@dataclass(frozen=True)
class Want:
    """
    What is wanted of one allowance: `portion`, or what is left, but not less than `least`.

    `most` is what there is at once, `a_second` how fast it comes back; all in units of their own.
    """

    name: str
    most: float
    a_second: float
    least: float
    portion: float

    def ms(self, amount: float) -> int:
        """Return how long this much takes to come back."""
        return round(amount / self.a_second * 1000)


class Spent(Exception):
    """So much is not left of one of those that were wanted."""

    def __init__(self, name: str, wait_s: int) -> None:
        self.name, self.wait_s = name, wait_s
        super().__init__(name)


class Allowances:
    """What is left to each device. Times come from the caller, of the workshop's clock."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def draw(self, who: str, wants: Sequence[Want], now: datetime) -> list[float]:
        """
        Take what is wanted off what is left, all of it or nothing; return how much of each.

        Raises:
            Spent: If the least of one is not left.
        """
        at = round(now.timestamp() * 1000)
        with self._database.write() as db:
            db.execute(TABLE)
            db.execute("delete from allowances where who = ? and full_at_ms <= ?", [who, at])
            rooms = [_room(db, who, one, at) for one in wants]
            spent = _first_spent(wants, rooms)
            if spent is None:
                return [
                    _draw(db, who, one, room, at) for one, room in zip(wants, rooms, strict=True)
                ]
        raise spent

    def require(self, who: str, wants: Sequence[Want], now: datetime) -> None:
        """
        Look whether the least of each is left. Nothing is taken.

        Raises:
            Spent: If it is not.
        """
        at = round(now.timestamp() * 1000)
        if self._database.has_table("allowances"):
            with self._database.read() as db:
                rooms = [one.ms(one.most) - _owed(db, who, one, at) for one in wants]
        else:
            rooms = [one.ms(one.most) for one in wants]
        spent = _first_spent(wants, rooms)
        if spent is not None:
            raise spent


def _first_spent(wants: Sequence[Want], rooms_ms: Sequence[int]) -> Spent | None:
    for one, room_ms in zip(wants, rooms_ms, strict=True):
        short_ms = one.ms(one.least) - room_ms
        if short_ms > 0:
            return Spent(one.name, math.ceil(short_ms / 1000))
    return None


def _owed(db: Connection, who: str, one: Want, at: int) -> int:
    """Return how long until all of it is back, ms: never longer than all of it takes."""
    row = db.execute(_FULL_AT, [who, one.name]).fetchone()
    return 0 if row is None else min(max(0, int(row[0]) - at), one.ms(one.most))


def _room(db: Connection, who: str, one: Want, at: int) -> int:
    """Return what is left, as how long it takes to come back, ms."""
    owed = _owed(db, who, one, at)
    if owed == one.ms(one.most):
        # It was emptied, perhaps by a clock that was years ahead: then it comes back from now on.
        db.execute(_SET, [who, one.name, at + owed])
    return one.ms(one.most) - owed


def _draw(db: Connection, who: str, one: Want, room_ms: int, at: int) -> float:
    drawn_ms = min(one.ms(max(one.portion, one.least)), room_ms)
    db.execute(_SET, [who, one.name, at + one.ms(one.most) - room_ms + drawn_ms])
    return max(one.least, drawn_ms * one.a_second / 1000)


_FULL_AT = "select full_at_ms from allowances where who = ? and name = ?"
_SET = """
insert into allowances values (?, ?, ?)
on conflict (who, name) do update set full_at_ms = excluded.full_at_ms
"""
