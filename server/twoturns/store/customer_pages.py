"""
Pages that a job's customer may open: found by a secret, and told only as long as they stand.

A page stands from the `page.shared` on that says so, until its time and no longer than a year after
that came in (a device's clock may be years ahead), until a `page.ended` names it, or until anything
that it shows is ordered erased. The first entry that names the secret's hash is the page: whoever
sees the job sees the hash, and no later entry takes its place or brings it back. It shows what that
entry says and nothing else of the job; a private value or a photo that another job named first is
none of it, whoever says so.
"""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final, TypedDict

from twoturns.bag.evidence import Evidence
from twoturns.ledger.private import MAX_BYTES
from twoturns.ledger.record import Record
from twoturns.store.blob_texts import private_value
from twoturns.store.gather import GROUPS, PAPERS, gather
from twoturns.store.sight import of_one_job
from twoturns.store.store import Store
from twoturns.store.stored import stored
from twoturns.store.times import as_text

MOST: Final = timedelta(days=366)


class CustomerRow(TypedDict):
    """A line under a heading. `value`: its private words; null if it has none, or they are gone."""

    under: str
    name: str
    says: str | None
    value: str | None
    is_private: bool


class CustomerPhoto(TypedDict):
    """A photo that may be seen, and what it shows."""

    blob: str
    label: str


@dataclass(frozen=True)
class CustomerPage:
    """
    What a customer may read. `said`: when, by the clock of the device that shared it. `has_bag`:
    the job's evidence bag may be taken along.
    """

    job: str
    entry: str
    said: str
    until: str
    rows: list[CustomerRow]
    photos: list[CustomerPhoto]
    values: frozenset[str]
    has_bag: bool


def customer_page(store: Store, secret: str, now: str) -> CustomerPage | None:
    """
    Return the page that a secret opens; None if it opens none, or none any more.

    Args:
        store: The workshop.
        secret: As it stands in the link.
        now: The workshop's time, as an `at`.
    """
    token = hashlib.sha256(secret.encode()).hexdigest()
    shared = [
        (index, row["job"], one)
        for row in store.views.find("page", token)
        for index, one in _records(store, row["job"], ("page.shared",))
        if one.entry.body["token"] == token
    ]
    if not shared:
        return None
    _, job, first = min(shared, key=lambda one: one[0])
    ends = {one.entry.body["page"] for _, one in _records(store, job, ("page.ended",))}
    stands = first.entry.id not in ends and _end(first) > now
    return _page(store, job, first) if stands else None


def _end(record: Record) -> str:
    longest = datetime.fromisoformat(record.received) + MOST
    return min(str(record.entry.body["until"]), as_text(longest))


def _page(store: Store, job: str, record: Record) -> CustomerPage | None:
    shared = record.entry
    body = shared.body
    photos = _photos(store, job, body.get("photos", ()))
    blobs = [row["value"]["blob"] for row in body["rows"] if "value" in row]
    blobs += [one["blob"] for one in photos]
    if any(store.views.is_hidden(one) or store.views.is_erased(one) for one in blobs):
        return None
    return CustomerPage(
        job=job,
        entry=shared.id,
        said=shared.at,
        until=_end(record),
        rows=[_row(store, job, row) for row in body["rows"]],
        photos=photos,
        values=frozenset(row["value"]["blob"] for row in body["rows"] if "value" in row),
        has_bag="bag" in body,
    )


def bag_of(store: Store, page: CustomerPage, made_on: str) -> Evidence:
    """
    Return the evidence of a page's job as its customer may have it: of private values those that
    the page shows, of photos copies of those that it shows, of other jobs' photos none.
    """
    return gather(
        store,
        page.job,
        groups=GROUPS.keys() - {PAPERS},
        originals=False,
        made_on=made_on,
        sight=of_one_job(page.job),
        photos={one["blob"] for one in page.photos},
        values=page.values,
    )


def _row(store: Store, job: str, row: dict[str, Any]) -> CustomerRow:
    blob = row["value"]["blob"] if "value" in row else None
    value = None
    if blob is not None and store.views.is_of_job(blob, job):
        value = private_value(store.blobs.read(blob, MAX_BYTES))
    return CustomerRow(
        under=row["under"],
        name=row["name"],
        says=row.get("says"),
        value=value,
        is_private=blob is not None,
    )


def _photos(store: Store, job: str, named: Sequence[dict[str, str]]) -> list[CustomerPhoto]:
    labels = {one["photo"]: one["label"] for one in named}
    records = _records(store, job, ("photo.taken",)) if labels else []
    taken = [one.entry for _, one in records if one.entry.id in labels]
    return [
        CustomerPhoto(blob=one.body["blob"], label=labels[one.id])
        for one in taken
        if store.views.is_of_job(one.body["blob"], job)
    ]


def _records(store: Store, job: str, kinds: tuple[str, ...]) -> list[tuple[int, Record]]:
    """Return a job's records of some kinds that count, with their places in the ledger."""
    marks = ", ".join("?" * len(kinds))
    sql = _SAID.format(marks=marks)
    rows = store.database.rows(sql, [job, *kinds])
    return [(row["index"], stored(row["index"], row["record"])) for row in rows]


_SAID = """
select "index", record from entries join records using ("index")
where job = ? and kind in ({marks}) and shown is not null and (has_right = 1 or standing = 'good')
order by "index"
"""
