"""The lots of parts that were fitted, in the order of their keys, each as it was fitted last."""

from collections.abc import Sequence
from typing import Any, TypedDict

from twoturns.ledger.record import Record
from twoturns.store.blob_texts import sought
from twoturns.store.port import Connection, Database, rows_of
from twoturns.store.sight import Scope
from twoturns.store.stored import stored
from twoturns.store.views import seen_by


class Lot(TypedDict):
    """
    A lot as it was written down in the job that was begun last with it, the parts it was of there,
    the number of jobs, and when it was fitted there by the device's own clock.
    """

    key: str
    lot: str
    parts: list[str]
    jobs: int
    at: str


def lots(database: Database, scope: Scope | None, *, after: str, most: int) -> list[Lot]:
    """Return so many lots at most behind a key, of those fitted in jobs that a scope shows."""
    listed = scope is not None and scope.job_ids is not None
    found: list[Lot] = []
    with database.read() as db:
        while len(found) < most:
            asked = {"after": after, "most": most, **seen_by(scope)}
            keys = [row["value"] for row in rows_of(db, _LISTED if listed else _KEYS, asked)]
            found += [one for key in keys if (one := _lot(db, key, scope)) is not None]
            if len(keys) < most:
                break
            after = keys[-1]
    return found[:most]


def lots_of(database: Database, scope: Scope | None, keys: Sequence[str]) -> list[Lot]:
    """Return these lots, of those fitted in jobs that a scope shows."""
    with database.read() as db:
        return [one for key in keys if (one := _lot(db, key, scope)) is not None]


def _lot(db: Connection, key: str, scope: Scope | None) -> Lot | None:
    shown = _SHOWN if scope is None else f"{_SHOWN} and {_BEGUN_IN_DAYS} and {scope.shows}"
    asked: dict[str, Any] = {"key": key, **seen_by(scope)}
    jobs = db.execute(f"select count(*) {shown}", asked).fetchone()[0]
    newest = f"select jobs.job {shown} order by begun desc, finders.job desc limit 1"
    row = db.execute(newest, asked).fetchone()
    fitted = [] if row is None else _fittings(db, row[0], key)
    if not fitted:
        return None
    said = [one.entry.body for one in fitted]
    parts = list(dict.fromkeys(str(body["part"]) for body in said))
    last = fitted[-1].entry
    return Lot(key=key, lot=said[-1]["lot"], parts=parts, jobs=jobs, at=last.at)


def _fittings(db: Connection, job: str, key: str) -> list[Record]:
    records = [stored(row["index"], row["record"]) for row in rows_of(db, _FITTED, {"job": job})]
    return [one for one in records if sought("lot", one.entry.body["lot"]) == key]


# From one key to the next: as long as what it returns, however often each was fitted.
_KEYS = """
with recursive keys(value, nth) as (
    select (select min(value) from finders where key = 'lot' and value > :after), 1
    union all
    select (select min(value) from finders where key = 'lot' and value > keys.value), nth + 1
        from keys where keys.value is not null and nth < :most)
select value from keys where value is not null
"""
_LISTED = """
select distinct finders.value from json_each(:ids) as listed cross join finders
where finders.job = listed.value and finders.key = 'lot' and finders.value > :after
order by finders.value limit :most
"""
_SHOWN = """
from finders join jobs on jobs.job = finders.job where finders.key = 'lot' and finders.value = :key
"""
_BEGUN_IN_DAYS = "begun >= :first and begun < :end"
_FITTED = """
select entries."index", record from entries join records using ("index")
where job = :job and kind = 'part.fitted' and shown is not null order by entries."index"
"""
