"""
Orders to erase, as views: what stands, what it hides, and what is to be carried out now.

`take` is called by the projector for each statement that counts. Words about an order are kept
apart from it: after a restore phones may bring a withdrawal back before the order.
"""

from dataclasses import dataclass
from typing import Final, Literal

from twoturns.ledger.entry import CONSOLE
from twoturns.ledger.erasure import (
    MOST_DELAY_DAYS,
    Order,
    Rule,
    Ruled,
    Writer,
    days_after,
    in_force,
    is_ripe,
    may_hasten,
    to_carry_out,
)
from twoturns.ledger.record import Record
from twoturns.ledger.roster import Device
from twoturns.store.port import Connection, Row, rows_of

SCHEMA: Final = """
create table orders (
    id text primary key, "index" integer not null, received text not null, device text not null,
    person text not null, reason text not null, basis text not null,
    due text not null) strict, without rowid;
create table ordered (blob text not null, id text not null,
    primary key (blob, id)) strict, without rowid;
create index ordered_id on ordered(id);
create table order_words (
    id text not null, says text not null, "index" integer not null, received text not null,
    device text not null, person text not null, because text not null,
    primary key (id, says, device)) strict, without rowid;
create table erasure_rules (
    id text primary key, begins text not null, delay_days integer not null,
    blobs_a_day integer not null) strict, without rowid;
"""
State = Literal["waits", "withdrawn", "carried-out"]


@dataclass(frozen=True)
class Told:
    """An order as an owner is told of it. `left` are the blobs that it still has to erase."""

    row: Row
    state: State
    is_hastened: bool
    blobs: list[str]
    left: list[str]
    jobs: list[str]
    because: str | None  # of the withdrawal


def take(db: Connection, index: int, record: Record, device: Device) -> None:
    """Take in a statement about erasing, by a device that might make it."""
    kind = record.entry.kind
    if kind == "erasure.ordered":
        _order(db, index, record, device)
    elif kind == "erasure.ruled":
        _rule(db, record)
    elif kind == "erasure.withdrawn" or (
        kind == "erasure.hastened" and is_second_voice(db, device, record.received)
    ):
        _word(db, index, record, device)


def _order(db: Connection, index: int, record: Record, device: Device) -> None:
    said, now = record.entry, record.received
    due = days_after(now, rule_at(db, now).delay_days)
    db.execute(
        "insert into orders values (?, ?, ?, ?, ?, ?, ?, ?) on conflict do nothing",
        [
            *(said.id, index, now, said.device, device.person),
            *(said.body["reason"], said.body["basis"], due),
        ],
    )
    db.executemany(
        "insert into ordered values (?, ?) on conflict do nothing",
        [[blob, said.id] for blob in said.body["blobs"]],
    )


def _rule(db: Connection, record: Record) -> None:
    said, now = record.entry, record.received
    if said.body["delay_days"] > MOST_DELAY_DAYS:
        return  # it would keep what the law wants gone
    begins = days_after(now, rule_at(db, now).delay_days)
    db.execute(
        "insert into erasure_rules values (?, ?, ?, ?) on conflict do nothing",
        [said.id, begins, said.body["delay_days"], said.body["blobs_a_day"]],
    )


def _word(db: Connection, index: int, record: Record, device: Device) -> None:
    said = record.entry
    db.execute(
        "insert into order_words values (?, ?, ?, ?, ?, ?, ?) on conflict do nothing",
        [
            *(said.body["order"], said.kind.removeprefix("erasure."), index, record.received),
            *(said.device, device.person, said.body["because"]),
        ],
    )


# Questions


def is_second_voice(db: Connection, device: Device, now: str) -> bool:
    """Say whether a device has been here for long enough to hasten what another ordered."""
    if device.person == CONSOLE:
        return True
    (enrolled,) = db.execute(
        'select received from entries where "index" = ?', [device.enrolled_at]
    ).fetchone()
    return is_ripe(enrolled, now, rule_at(db, now).delay_days)


def rule_at(db: Connection, now: str) -> Rule:
    """Return the delay and the day's most that hold at a time."""
    return in_force((ruled for _, ruled in rules(db)), now)


def rules(db: Connection) -> list[tuple[str, Ruled]]:
    """Return every rule that was stated, by its entry."""
    return [
        (row["id"], Ruled(Rule(row["delay_days"], row["blobs_a_day"]), row["begins"], row["gone"]))
        for row in rows_of(db, _RULES)
    ]


def is_of_a_procedure(db: Connection, blob: str) -> bool:
    """Say whether a blob is a published procedure or one of its pictures: none can be erased."""
    return db.execute(_IS_OF_A_PROCEDURE, {"blob": blob}).fetchone() is not None


def due(db: Connection, now: str) -> list[tuple[Order, Row]]:
    """Return the orders that are to be carried out now, each with its row."""
    standing = {}
    for row in rows_of(db, _MAY_BE_DUE, {"now": now}):
        told = _told(db, row)
        if told.left:
            order = Order(row["id"], row["due"], told.is_hastened, tuple(told.left))
            standing[order.id] = (order, row)
    (today,) = db.execute(_ERASED_SINCE, [days_after(now, -1)]).fetchone()
    most = rule_at(db, now).blobs_a_day
    chosen = to_carry_out([one for one, _ in standing.values()], now, today, most)
    return [standing[one.id] for one in chosen]


def orders(db: Connection) -> list[Told]:
    """Return every order, the newest first."""
    return [_told(db, row) for row in rows_of(db, 'select * from orders order by "index" desc')]


def _told(db: Connection, row: Row) -> Told:
    blobs = rows_of(db, _BLOBS, {"id": row["id"]})
    left = [one["blob"] for one in blobs if one["erased"] is None and not one["is_safe"]]
    words = rows_of(db, 'select * from order_words where id = ? order by "index"', [row["id"]])
    gone = next((one for one in words if one["says"] == "withdrawn"), None)
    erased_at = max((one["erased"] or 0 for one in blobs), default=0)
    is_late = gone is not None and not left and gone["index"] > erased_at
    ordered = Writer(row["device"], row["person"])
    return Told(
        row=row,
        state="withdrawn" if gone and not is_late else "waits" if left else "carried-out",
        is_hastened=any(
            one["says"] == "hastened" and may_hasten(Writer(one["device"], one["person"]), ordered)
            for one in words
        ),
        blobs=[one["blob"] for one in blobs],
        left=left,
        jobs=sorted({one["job"] for one in blobs if one["job"]}),
        because=gone["because"] if gone else None,
    )


HIDDEN: Final = """
select blob from ordered where not exists (
    select 1 from order_words where order_words.id = ordered.id and says = 'withdrawn')
and blob not in (select bundle from bundles) and blob not in (select blob from bundle_assets)
"""
_IS_OF_A_PROCEDURE = """
select 1 from bundles where bundle = :blob union all
select 1 from bundle_assets where blob = :blob
"""
_RULES = """
select erasure_rules.*, (select min(received) from order_words
    where order_words.id = erasure_rules.id and says = 'withdrawn') as gone
from erasure_rules order by begins, id
"""
_MAY_BE_DUE = """
select * from orders
where id in (select id from ordered
    where not exists (select 1 from erased where erased.blob = ordered.blob))
and id not in (select id from order_words where says = 'withdrawn')
and (due <= :now or id in (select id from order_words where says = 'hastened'))
order by id
"""
_BLOBS = f"""
select ordered.blob, erased."index" as erased,
    (select min(job) from mentions where mentions.blob = ordered.blob and job != '') as job,
    exists ({_IS_OF_A_PROCEDURE.replace(":blob", "ordered.blob")}) as is_safe
from ordered left join erased using (blob) where id = :id order by ordered.blob
"""  # noqa: S608 - constants only
_ERASED_SINCE = """
select count(*) from erased join entries using ("index") where received > ?
"""
