"""
Which jobs a device sees: by a job's own state and who worked on it, never by what is pushed to it.

A mechanic's device sees open jobs, and closed ones that a person whom it speaks for worked on while
they were open: until some time after they were closed, or after the owner last ruled in them. An
auditor's sees what the invitation's scope names. An owner's sees all: its sight is None.

A closed job is open again when an owner hands it back, or when somebody who sees it goes on with a
step: else whoever closes the jobs of others would take them from all who had not written in them.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

from twoturns.ledger.entry import Entry
from twoturns.ledger.roster import Roster
from twoturns.store import audits
from twoturns.store.port import Connection, Row, rows_of
from twoturns.store.times import as_text

SCHEMA = """
create table workers (person text not null, begun text not null, job text not null,
    primary key (person, begun, job)) strict, without rowid;
create index workers_job on workers(job);
create table speaks (device text not null, person text not null,
    primary key (device, person)) strict, without rowid;
create index jobs_open on jobs((coalesce(resumed, 0) - coalesce(ended, -1)), job);
create index jobs_ended on jobs(ended) where ended is not null;
create index jobs_lasted on jobs(lasted, ended, first_index) where lasted is not null;
create index jobs_ruled on jobs(ruled);
create index jobs_first_received on jobs(first_received);
"""
_ANY_DAY = ("0000-00-00", "9999-99-99")
OWN_JOBS_FOR = timedelta(days=30)
# What a sight is told of the workshop itself.
ALL_STATEMENTS = "job is null"
# One a photo and value: who wrote them has it by a receipt, and nobody else acts on it.
BUT_WHAT_WAS_KEPT = "job is null and kind != 'blob.kept'"
# What goes on with a job; a note, an answer or a tool brought back after the end does not.
STEPS = ("step.begun", "step.done", "step.failed", "step.reopened")
# What ends a job, or what would have become one.
ENDING = ("job.closed", "enquiry.declined")
# What the owner rules in a job: whoever worked on it is to see it again.
OWNERS_WORD = ("review.returned", "review.gap", "review.approved")


@dataclass(frozen=True)
class Sight:
    """
    What a mechanic's device sees; closed jobs that were closed, or ruled in, since a time. Of
    audits its own persons' alone: nothing that others froze, drew or found is for a phone to act
    on, and who knows what was drawn could make ready for it.
    """

    device: str
    since: str
    statements = f"{ALL_STATEMENTS} and {audits.OWN}"

    @property
    def shows(self) -> str:
        """The condition on a row of `jobs`, with the names of `parameters`."""
        return _SHOWN_TO_MECHANIC

    @property
    def listed(self) -> str | None:
        """
        The query for the jobs heard of since a place (`since`), with the names of `parameters`: as
        long as what is shown.
        """
        return _LISTED_TO_MECHANIC

    @property
    def parameters(self) -> dict[str, object]:
        return {"device": self.device, "own_since": self.since}


@dataclass(frozen=True)
class Scope:
    """
    What an auditor's device sees: these jobs (None: any) that came in on days from `first` to
    `last`, of private values these fields (None: any), and of audits its own.
    """

    job_ids: tuple[str, ...] | None
    first: str
    last: str
    fields: frozenset[str] | None
    device: str
    statements = f"{ALL_STATEMENTS} and {audits.OWN}"

    @property
    def is_of_jobs(self) -> bool:
        """Whether it limits the jobs at all."""
        return self.job_ids is not None or (self.first, self.last) != _ANY_DAY

    @property
    def shows(self) -> str:
        """The condition on a row of `jobs`, with the names of `parameters`."""
        if not self.is_of_jobs:
            return "true"
        return _IN_DAYS if self.job_ids is None else _IN_DAYS + _NAMED

    @property
    def listed(self) -> str | None:
        """
        The query for the jobs heard of since a place (`since`), with the names of `parameters`: as
        long as what it returns. None where that is all of them.
        """
        if self.job_ids is not None:
            return _LISTED_BY_NAME
        return _LISTED_BY_DAYS if self.is_of_jobs else None

    @property
    def parameters(self) -> dict[str, object]:
        ids = {} if self.job_ids is None else {"ids": json.dumps(self.job_ids)}
        days = {"first": self.first, "end": f"{self.last}~"}  # behind all times of that day
        return {**ids, **days, "device": self.device}


@dataclass(frozen=True)
class Desk:
    """
    What an owner's or an auditor's device is told without asking, of all that it may see: it asks
    for a job when somebody looks at it, and nobody waits for a whole ledger to come.

    Of jobs an owner's device is told what a mechanic's is (`own`), and what ended those that were
    open where it had been told all there was (`upto`): what it has as open is. An auditor's is told
    of no job (`own` is None), and of audits its own.
    """

    device: str
    own: Sight | None
    upto: int

    @property
    def statements(self) -> str:
        """The condition on statements, with the names of `parameters`."""
        is_owners = self.own is not None
        return BUT_WHAT_WAS_KEPT if is_owners else f"{BUT_WHAT_WAS_KEPT} and {audits.OWN}"

    @property
    def shows(self) -> str:
        """The condition on a row of `jobs`; `since` is that of the page."""
        return "false" if self.own is None else f"({self.own.shows} or ({_ENDED}))"

    @property
    def listed(self) -> str | None:
        """The query for the jobs heard of since a place (`since`)."""
        if self.own is None:
            return "select job from jobs where false"
        return _LISTED_TO_MECHANIC + _OR_ENDED

    @property
    def parameters(self) -> dict[str, object]:
        if self.own is None:
            return {"device": self.device}
        return {**self.own.parameters, "upto_told": self.upto}


AnySight = Sight | Scope | Desk


def shown_by(sight: AnySight, job: str) -> str:
    """Return the condition, in SQL, that a sight shows the job which a column names."""
    if isinstance(sight, Scope) and not sight.is_of_jobs:
        return f"{job} > ''"  # any job at all
    shows = f"jobs.job = {job} and {sight.shows}"
    return f"exists (select 1 from jobs where {shows})"  # noqa: S608 - our own names alone


def scope_of(said: Mapping[str, Any], device: str) -> Scope:
    """
    Return what the `scope` of a `device.invited` opens to a device; its `end` is not asked here.
    """
    ids, private_fields = said.get("jobs"), said.get("values")
    first, last = said.get("days", _ANY_DAY)
    return Scope(
        None if ids is None else tuple(ids),
        first,
        last,
        None if private_fields is None else frozenset(private_fields),
        device,
    )


def of_one_job(job: str) -> Scope:
    """Return the scope of somebody who is shown one job, and is nobody's device."""
    return Scope((job,), *_ANY_DAY, None, device="")


def is_over(said: Mapping[str, Any] | None, at: str) -> bool:
    """Say whether the `end` of a scope has come. None: an auditor's without a scope."""
    return said is not None and "end" in said and at >= said["end"]


def sees_job(db: Connection, job: str, sight: AnySight) -> bool:
    """Say whether a job is here and a sight shows it."""
    sql = f"select 1 from jobs where job = :job and {sight.shows}"  # noqa: S608 - our own
    return db.execute(sql, {"job": job, **sight.parameters}).fetchone() is not None


class Follower:
    """
    Takes in, within one transaction, what entries of jobs do to who sees them. What it found of a
    job that never ended, and who works on it, it does not ask or write again.
    """

    def __init__(self, db: Connection, roster: Roster) -> None:
        self._db, self._roster = db, roster
        self._never_ended: set[str] = set()
        self._workers: set[tuple[str, str]] = set()

    def note(self, index: int, entry: Entry, job: str, shown: str) -> None:
        """
        Take in an entry of a job that its device might write, or that an owner accepted.

        Only what was written while the job was open makes a worker, of the person who was admitted
        on the device. Else a note pushed into a closed job would show it to who pushed it.
        """
        device = self._roster.device(entry.device)
        if device is None:
            return
        is_open = self._is_open(job)
        if is_open:
            is_admitted = self._roster.speaks_for(device, entry.person, index)
            self._works(entry.person if is_admitted else device.person, job)
        if entry.kind in OWNERS_WORD or (entry.kind in ENDING and is_open):
            self._db.execute("update jobs set ruled = ? where job = ?", [shown, job])

    def follow(self, index: int, entry: Entry) -> None:
        """
        Take in how the entry at an index stands now: whether it ends the job, or goes on with it.

        `ended` and `resumed` are the places, among what is shown, of the newest that did; `lasted`
        is the first of `SPANS` above the records from the job's first to its end. A closing of
        whoever might write it ends the job, forked or not: a fork is not to open it.
        """
        goes_on = entry.kind in STEPS and entry.job not in self._never_ended
        if entry.kind in ENDING:
            self._never_ended.discard(entry.job or "")
        if goes_on or entry.kind in _MOVES:
            for row in rows_of(self._db, _COUNTS, [index]):
                if goes_on:
                    self._go_on(row)
                else:
                    records = row["shown"] - row["first_index"]
                    lasted = next(span for span in SPANS if span > records)
                    self._db.execute(_MOVES[entry.kind], {**row, "lasted": lasted})

    def _go_on(self, row: Row) -> None:
        """Take in that a step goes on, good, with a job that ended: who saw it opens it again."""
        device = self._roster.device(row["device"])
        sees_all = device is not None and device.role == "owner"
        since = as_text(datetime.fromisoformat(row["received"]) - OWN_JOBS_FOR)
        if row["standing"] == "good":
            self._db.execute(_GOES_ON, {**row, "sees_all": sees_all, "own_since": since})

    def _is_open(self, job: str) -> bool:
        if job in self._never_ended:
            return True
        has_ended, is_open = self._db.execute(_STATE, [job]).fetchone()
        if not has_ended:
            self._never_ended.add(job)
        return bool(is_open)

    def _works(self, person: str, job: str) -> None:
        if (person, job) not in self._workers:
            self._db.later(_WORKS, [person, job])
            self._workers.add((person, job))


def copy_persons(db: Connection, roster: Roster, index: int) -> None:
    """Note for whom each device speaks after the statement at an index."""
    db.execute("delete from speaks")
    for device in roster.devices():
        for person in {device.person, *roster.admitted_on(device, index)}:
            db.execute("insert into speaks values (?, ?)", [device.thumbprint, person])


# One figure against one that is said: PostgreSQL knows of it how few have it, as its index has it.
# Of two columns it takes a third to be so, and goes through the entries of all jobs for theirs.
OPEN = "coalesce(resumed, 0) - coalesce(ended, -1) > 0"
_STATE = f"select ended is not null, {OPEN} from jobs where job = ?"  # noqa: S608 - constants only
_WORKS = """
insert into workers select ?, first_received, job from jobs where job = ? on conflict do nothing
"""
_COUNTS = """
select job, device, "index" as at, shown, received, standing, first_index
from entries join jobs using (job)
where "index" = ? and shown is not null and (has_right = 1 or standing = 'good')
"""
_ENDS = """
update jobs set closed = case when closed < :at then closed else :at end,
    ended = case when ended > :shown then ended else :shown end,
    lasted = case when lasted > :lasted then lasted else :lasted end
where job = :job
"""
# The customer does not want what they asked about: there is no work that anybody could go on with.
_DECLINES = """
update jobs set declined = case when declined < :at then declined else :at end,
    ended = case when ended > :shown then ended else :shown end,
    lasted = case when lasted > :lasted then lasted else :lasted end
where job = :job and opened is null
"""
_COMES_ALL_THE_SAME = """
update jobs set resumed = case when resumed > :shown then resumed else :shown end, declined = null
where job = :job and declined is not null and closed is null
"""
_HANDED_BACK = """
update jobs set resumed = case when resumed > :shown then resumed else :shown end where job = :job
"""
_MOVES = {
    "job.closed": _ENDS,
    "enquiry.declined": _DECLINES,
    "job.opened": _COMES_ALL_THE_SAME,
    "review.returned": _HANDED_BACK,
}
_OWN = """
ruled >= :own_since and exists (select 1 from workers join speaks using (person)
    where workers.job = jobs.job and speaks.device = :device)
"""
_GOES_ON = f"""
update jobs set resumed = case when resumed > :shown then resumed else :shown end
where job = :job and ended < :shown and (:sees_all = 1 or ({_OWN}))
"""  # noqa: S608 - constants only
_SHOWN_TO_MECHANIC = f"({OPEN} or {_OWN})"
_ENDED = "ended >= :since and first_index < :upto_told"
# By what is shown and not by `last_index`, as the + tells SQLite: a first page would read all jobs.
_LISTED_TO_MECHANIC = f"""
select job from jobs where {OPEN} and +last_index >= :since
union select job from jobs where {_OWN} and +last_index >= :since
"""  # noqa: S608 - constants only
_IN_DAYS = "first_received >= :first and first_received < :end"
_NAMED = " and jobs.job in (select value from json_each(:ids))"
_LISTED_BY_DAYS = f"""
select job from jobs where {_IN_DAYS} and last_index >= :since
"""  # noqa: S608 - constants only
_LISTED_BY_NAME = f"""
select job from json_each(:ids) as listed cross join jobs
where job = listed.value and {_IN_DAYS} and last_index >= :since
"""  # noqa: S608 - constants only
# A job that lasted less than a span, and began before a place, ended less than the span behind it.
# So of each span at most those jobs are looked at that ended within eight times as long as they
# lasted, and not all that ended since a device was here. Each span stands written out: PostgreSQL
# would take a list of them for one that nearly all jobs are of.
SPANS: Final = tuple(8**n for n in range(16))  # records: no ledger has as many as the last
_OR_ENDED = "".join(
    f"""
union select job from jobs
where lasted = {span} and ended < :upto_told + {span} and {_ENDED}
"""  # noqa: S608 - constants only
    for span in SPANS
)
