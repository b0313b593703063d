"""
Where a blob belongs: to the first job in which an entry names it, or to the workshop.

A job that names another's blob later gets nothing: every device sees the hashes of all blobs in
`blob.kept`, and would only have to name one to read it. What is held back claims its blobs too:
their bytes are here. Nobody else reads them by naming them, nor does their own job before an
acceptance; refused, they go on belonging there, so that nobody can read them afterwards either.
"""

from twoturns.ledger.entry import Entry
from twoturns.store.blob_texts import named_blobs
from twoturns.store.port import Connection

SCHEMA = """
create table mentions (blob text not null, job text not null,
    primary key (blob, job)) strict, without rowid;
create table held_mentions (blob text primary key, job text not null) strict, without rowid;
"""
WORKSHOP = ""  # the `job` of a mention by the workshop itself: every device may see it


def mention(db: Connection, blob: str, job: str) -> None:
    """Note that a job names a blob, or the workshop does."""
    db.later(_MENTION, {"blob": blob, "job": job})


def claim(db: Connection, blob: str, job: str | None) -> None:
    """
    Note that an audit names a blob: of the job that it is about, else of the workshop, but only if
    nobody named it before. Every device is told the hashes of all blobs: else an auditor would only
    have to name one to read it.
    """
    db.later(_CLAIM, {"blob": blob, "job": job or WORKSHOP})


def hold(db: Connection, entry: Entry) -> None:
    """Note what an entry names that is held back."""
    if entry.job is not None:
        for blob in named_blobs(entry.wire_body):
            db.execute(_HOLD, {"blob": blob, "job": entry.job})


def let_go(db: Connection, entry: Entry) -> None:
    """Give up what was noted of an entry held back: it is about to be taken into its job."""
    for blob in named_blobs(entry.wire_body):
        db.execute("delete from held_mentions where blob = ? and job = ?", [blob, entry.job])


_MENTION = """
insert into mentions select :blob, :job
where :job = '' or not exists (select 1 from mentions where blob = :blob and job != ''
    union all select 1 from held_mentions where blob = :blob)
on conflict do nothing
"""
_CLAIM = """
insert into mentions select :blob, :job
where not exists (select 1 from mentions where blob = :blob
    union all select 1 from held_mentions where blob = :blob)
on conflict do nothing
"""
_HOLD = """
insert into held_mentions select :blob, :job
where not exists (select 1 from mentions where blob = :blob)
on conflict do nothing
"""
