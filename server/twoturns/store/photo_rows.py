"""
The photos that jobs show, as a view: a row each, by which they are found across jobs.

What a photo's entry says stands in its record. A row has what is asked by; procedure and engine of
its job come with the job's opening, which may come later; its standing may change.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from twoturns.ledger.entry import Entry
from twoturns.ledger.record import Record
from twoturns.store.erasures import HIDDEN
from twoturns.store.port import Connection, Database, Row
from twoturns.store.sight import Scope, shown_by
from twoturns.store.stored import stored
from twoturns.store.views import seen_by

SCHEMA: Final = """
create table photos (
    "index" integer primary key, received text not null, job text not null, step text not null,
    person text not null, bundle text, engine_code text, sharp_tenths integer,
    standing text not null) strict;
create index photos_job on photos(job, received);
create index photos_received on photos(received);
create index photos_step on photos(step, received);
create index photos_person on photos(person, received);
create index photos_bundle on photos(bundle, received);
create index photos_engine on photos(engine_code, received);
create index photos_odd on photos(standing, received) where standing != 'good';
"""


def note(db: Connection, index: int, record: Record, job: str) -> None:
    """Take in the `photo.taken` at an index, of a job that shows it. It stands good so far."""
    body = record.entry.body
    sharp = body.get("quality", {}).get("sharp_tenths")
    who = (record.received, job, body["step"], record.entry.person)
    db.later(_PHOTO, (index, *who, job, job, sharp))


def restand(db: Connection, index: int, entry: Entry) -> None:
    """Take over the standing that an entry has now, if it is a photo."""
    if entry.kind == "photo.taken":
        db.execute(_RESTAND, {"index": index})


def name_procedure(db: Connection, job: str) -> None:
    """Say of the photos that came before their job's opening by which procedure it goes."""
    db.execute(_NAME, {"job": job})


@dataclass(frozen=True)
class Found:
    """
    A photo: its place in the ledger, its record, how it stands, and what is known of its job
    (`job`, `bundle`, `engine_code`, `plate`, `is_plate_hidden`).
    """

    index: int
    record: Record
    standing: str
    job: Row


def find(
    database: Database,
    asked: Mapping[str, Any],
    scope: Scope | None,
    *,
    after: int | None,
    most: int,
) -> Sequence[Found]:
    """
    Return photos across jobs, the one received last first: so many at most, of those after one
    that the scope shows.

    Args:
        database: Of the workshop.
        asked: By what: some of `CONDITIONS`, each with its value.
        scope: What limits the asker.
        after: The place in the ledger of the last photo of the page before.
        most: Photos, at most.
    """
    parameters = {"since": "", "until": "~", **asked, "after": after, "most": most}
    rows = database.rows(_query(asked, scope, after), parameters | seen_by(scope))
    return [
        Found(row["index"], stored(row["index"], row["record"]), row["standing"], row)
        for row in rows
    ]


def _query(asked: Mapping[str, Any], scope: Scope | None, after: int | None) -> str:
    """Return the query: by a scope's own list of jobs, if it has one."""
    is_listed = scope is not None and scope.job_ids is not None
    shown = [] if scope is None else [shown_by(scope, "photos.job")]
    conditions = [_IN_DAYS, *(CONDITIONS[name] for name in asked if name in CONDITIONS), *shown]
    if asked.get("standing", "good") != "good":
        conditions.append(_ODD)
    if after is not None:
        conditions.append(_AFTER.format(shown="".join(f" and {one}" for one in shown)))
    if is_listed:
        conditions.append("photos.job = listed.value")
    which = _OF_LISTED if is_listed else "photos"
    return _FIND.format(which=which, conditions=" and ".join(conditions))


CONDITIONS: Final = {
    "step": "photos.step = :step",
    "person": "photos.person = :person",
    "bundle": "photos.bundle = :bundle",
    "engine_code": "photos.engine_code = :engine_code",
    "standing": "photos.standing = :standing",
    "sharp_from": "photos.sharp_tenths >= :sharp_from",
    "sharp_below": "photos.sharp_tenths < :sharp_below",
    "is_unjudged": "photos.sharp_tenths is null",
}
_PHOTO = """
insert into photos values (?, ?, ?, ?, ?, (select bundle from jobs where job = ?),
    (select engine_code from jobs where job = ?), ?, 'good')
"""
_RESTAND = """
update photos set standing = (select standing from entries where entries."index" = :index)
where "index" = :index
"""
_NAME = """
update photos set (bundle, engine_code) = (
    select bundle, engine_code from jobs where jobs.job = :job) where job = :job
"""
_IN_DAYS = "photos.received >= :since and photos.received < :until"
_ODD = "photos.standing != 'good'"  # that few are is what the index of the odd ones lives by
_AFTER = """
(photos.received, photos."index") < (select received, "index" from photos
    where "index" = :after{shown})
"""
_OF_LISTED = "json_each(:ids) as listed cross join photos"
_FIND = f"""
select photos."index", record, photos.standing, jobs.job, jobs.bundle, jobs.engine_code,
    jobs.plate, jobs.plate_blob in ({HIDDEN}) as is_plate_hidden
from {{which}} join records on records."index" = photos."index" join jobs on jobs.job = photos.job
where {{conditions}} order by photos.received desc, photos."index" desc limit :most
"""  # noqa: S608 - constants only
