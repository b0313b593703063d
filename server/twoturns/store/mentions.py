"""
Where a blob belongs: to the first job in which an entry names it, or to the workshop.

A job that names another's blob later gets nothing: every device sees the hashes of all blobs in
`blob.kept`, and would only have to name one to read it. What is held back claims its blobs too:
their bytes are here. Nobody else reads them by naming them, nor does their own job before an
acceptance; refused, they go on belonging there, so that nobody can read them afterwards either.
"""

from twoturns.ledger.entry import Entry
from twoturns.store.blob_texts import named_blobs
from twoturns.store.database import Connection

SCHEMA = """
create table mentions (blob text not null, job text not null,
    primary key (blob, job)) strict, without rowid;
create table held_mentions (blob text primary key, job text not null) strict, without rowid;
"""
WORKSHOP = ""  # the `job` of a mention by the workshop itself: every device may see it


def mention(db: Connection, blob: str, job: str) -> None:
    """Note that a job names a blob, or the workshop does."""
    db.later(_MENTION, {"blob": blob, "job": job})


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
insert or ignore into mentions select :blob, :job
where :job = '' or not exists (select 1 from mentions where blob = :blob and job != ''
    union all select 1 from held_mentions where blob = :blob)
"""
_HOLD = """
insert or ignore into held_mentions select :blob, :job
where not exists (select 1 from mentions where blob = :blob)
"""
