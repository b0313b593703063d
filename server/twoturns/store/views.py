"""What is asked of the views. Reads only: `projector` is the one that writes them."""

import heapq
import json
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from operator import itemgetter
from typing import Any

from twoturns.ledger.entry import CONSOLE
from twoturns.store import audits
from twoturns.store.blob_texts import sought
from twoturns.store.desk_order import Notice, notice
from twoturns.store.erasures import HIDDEN
from twoturns.store.finders import NOT_ERASED
from twoturns.store.port import Database, Row
from twoturns.store.sight import OPEN, AnySight, Scope, shown_by
from twoturns.words import t
from twoturns.words.en.store import views as words


@dataclass(frozen=True)
class DeviceRow:
    """An enrolled device as the roster has it."""

    device: str
    key: str
    role: str
    person: str
    is_revoked: bool
    is_shut: bool
    scope: Mapping[str, Any] | None


class Views:
    """Questions to the views. A question with a `sight` finds only what that sight shows."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def device(self, thumbprint: str) -> DeviceRow | None:
        """Return an enrolled device, also a revoked one."""
        row = self._database.row(f"{_DEVICES} where device = ?", [thumbprint])
        return None if row is None else _device(row)

    def devices(self) -> list[DeviceRow]:
        """Return every device that was ever enrolled, in the order of the ledger."""
        rows = self._database.rows(f"{_DEVICES} order by enrolled_at")
        return [_device(row) for row in rows if row["role"] != CONSOLE]

    def persons_on(self, device: str) -> list[str]:
        """Return for whom a device speaks now, its own person included."""
        rows = self._database.rows(
            "select person from speaks where device = ? order by person", [device]
        )
        return [row["person"] for row in rows]

    def held_devices(self) -> list[Row]:
        """Return the devices of which something is held back, and how much, the newest first."""
        rows = self._database.rows(_HELD_DEVICES)
        return [{**row, "is_shut": bool(row["is_shut"])} for row in rows]

    def held(self, device: str, since: int = 0, limit: int = sys.maxsize) -> list[Row]:
        """Return what is held back of a device and not refused: `index`, `id`, `record`."""
        return self._database.rows(_HELD, {"device": device, "since": since, "limit": limit})

    def written_on(self, device: str, ids: Sequence[str]) -> list[str]:
        """Return which of these entries the device wrote, in the order of the ledger."""
        parameters = {"device": device, "ids": json.dumps(ids)}
        return [row["id"] for row in self._database.rows(_WRITTEN_ON, parameters)]

    def devices_like(self, start: str) -> list[DeviceRow]:
        """Return the devices whose thumbprint starts so."""
        return [device for device in self.devices() if device.device.startswith(start)]

    def has_job(self, job: str, sight: AnySight | None) -> bool:
        sql = "select 1 from jobs where job = :job"
        if sight is not None:
            sql += f" and {sight.shows}"
        return self._database.row(sql, {"job": job, **seen_by(sight)}) is not None

    def has_blob(self, blob: str, sight: AnySight | None) -> bool:
        """Say whether a blob is kept, not erased, and (a sight given) named by what it shows."""
        sql = _BLOB
        if sight is not None:
            sql += _NAMED.format(shows=shown_by(sight, "mentions.job"))
        if isinstance(sight, Scope):
            sql += f" and {audits.READS_OWN}"
        return self._database.row(sql, {"blob": blob, **seen_by(sight)}) is not None

    def has_audits(self, statement: str, sight: AnySight | None) -> bool:
        """Say whether a statement is of an audit that (a sight given) is shown."""
        if sight is None:
            return self._database.row("select 1 from audits where id = ?", [statement]) is not None
        asked = {"id": statement, "device": sight.parameters["device"]}
        return self._database.row(audits.IS_OWN, asked) is not None

    def kept_size(self, blob: str) -> int | None:
        """Return the size in bytes of a blob that the ledger says is kept."""
        row = self._database.row("select size from kept where blob = ?", [blob])
        return None if row is None else int(row["size"])

    def kept_at(self, blob: str) -> int | None:
        """Return the index of the record that says the blob is kept."""
        row = self._database.row('select "index" from kept where blob = ?', [blob])
        return None if row is None else int(row["index"])

    def is_hidden(self, blob: str) -> bool:
        """Say whether an order that stands names a blob: nobody but owners sees it any more."""
        return self._database.row(f"{HIDDEN} and blob = :blob", {"blob": blob}) is not None

    def is_erased(self, blob: str) -> bool:
        return self._database.row("select 1 from erased where blob = ?", [blob]) is not None

    def erased(self) -> list[str]:
        """Return every blob whose bytes must not be here."""
        return [row["blob"] for row in self._database.rows("select blob from erased order by blob")]

    def kept(self) -> list[str]:
        """Return every blob whose bytes must be here."""
        rows = self._database.rows(f"{_KEPT} order by blob")
        return [row["blob"] for row in rows]

    def kept_count(self) -> int:
        """Return how many blobs' bytes must be here."""
        sql = f"select count(*) as count from ({_KEPT}) as here"  # noqa: S608 - our own
        row = self._database.row(sql)
        return 0 if row is None else int(row["count"])

    def kept_in_pieces(self) -> Iterator[list[str]]:
        """Yield every blob whose bytes must be here, a thousand at a time."""
        last = ""
        while rows := self._database.rows(f"{_KEPT} and blob > ? order by blob limit 1000", [last]):
            yield (blobs := [row["blob"] for row in rows])
            last = blobs[-1]

    def kept_sizes(self) -> list[tuple[str, int]]:
        """Return every blob whose bytes must be here, and its size in bytes."""
        rows = self._database.rows(
            f"select blob, size from kept where {NOT_ERASED} order by blob"  # noqa: S608 - our own
        )
        return [(row["blob"], row["size"]) for row in rows]

    def key_bringers(self, end: int) -> list[int]:
        """Return the indices, below one, of the records that may bring a device's key."""
        return [row["index"] for row in self._database.rows(_KEY_BRINGERS, [end])]

    def bundles(self) -> list[Row]:
        """Return the published bundles that are whole here, pictures included, oldest first."""
        return self._database.rows(_WHOLE_BUNDLES)

    def is_published(self, bundle: str) -> bool:
        """Say whether the workshop ever published a bundle, withdrawn ones included."""
        return self._database.row("select 1 from bundles where bundle = ?", [bundle]) is not None

    def are_of_another_job(self, blobs: Iterable[str], job: str) -> bool:
        """Say whether another job named one of these before this one did."""
        return any(self.other_jobs(blob, job) for blob in blobs)

    def other_jobs(self, blob: str, job: str) -> list[str]:
        """Return which other job named a blob first, though it be held back: one or none."""
        rows = self._database.rows(_OTHER_JOBS, {"blob": blob, "job": job})
        return [row["job"] for row in rows]

    def is_of_job(self, blob: str, job: str) -> bool:
        """Say whether a blob is a job's to show: it named it first, or it is the workshop's."""
        sql = "select 1 from mentions where blob = ? and job in ('', ?)"
        return self._database.row(sql, [blob, job]) is not None

    def sayings_that_count(self, job: str) -> set[str]:
        """Return a job's entries that their device might write, or that an owner accepted."""
        sql = "select id from entries where job = ? and (has_right = 1 or standing = 'good')"
        return {row["id"] for row in self._database.rows(sql, [job])}

    def editions(self, bundle_id: str) -> list[Row]:
        """Return what is published of one procedure."""
        return self._database.rows(
            'select * from bundles where id = ? order by edition, "index"', [bundle_id]
        )

    def jobs_by(self, bundle_id: str) -> list[Row]:
        """Return the jobs by any edition of one procedure, the oldest first: `is_open`, too."""
        return self._database.rows(_JOBS_BY, [bundle_id])

    def workers_by(self, bundle_id: str) -> list[str]:
        """Return who worked by any edition of one procedure and has a device that may go on."""
        return [row["person"] for row in self._database.rows(_WORKERS_BY, [bundle_id])]

    def job(self, job: str) -> Row:
        """
        Return what is known of a job.

        Raises:
            KeyError: If it is not here.
        """
        row = self._database.row("select * from jobs where job = ?", [job])
        if row is None:
            raise KeyError(job)
        return row

    def jobs(self) -> list[Row]:
        """Return all jobs, the last one heard of first."""
        return self._database.rows("select * from jobs order by last_index desc, job desc")

    def find(
        self,
        key: str,
        value: str,
        scope: Scope | None = None,
        *,
        after: str | None = None,
        most: int = sys.maxsize,
        hidden_too: bool = True,
    ) -> list[Row]:
        """
        Return the jobs with a `vin`, `plate`, `lot`, `tool` or `code`, the one begun last first: so
        many at most, of those after a job that the scope shows.

        Without `hidden_too` what an order hides is neither found nor told.
        """
        sought_for = {"key": key, "value": sought(key, value), "after": after, "most": most}
        sql = _found(scope, after, None if hidden_too else key)
        rows = self._database.rows(sql, sought_for | seen_by(scope))
        return rows if hidden_too else [self._without_hidden(row) for row in rows]

    def _without_hidden(self, row: Row) -> Row:
        hidden = {
            name: None
            for name in ("vin", "plate")
            if row[f"{name}_blob"] and self.is_hidden(row[f"{name}_blob"])
        }
        return row | hidden

    def recalls(self) -> list[Row]:
        """
        Return all recalls in the order of the ledger: `index`, `id`, `key`, `lot`, `because`,
        `until`.
        """
        return self._database.rows(_RECALLS)

    def tool_checks(self) -> list[Row]:
        """
        Return all checks of tools in the order of the ledger: `id`, `key`, and of a `tool.checked`
        its body as JSON (`said`), of a `tool.calibrated` its day (`on`).
        """
        return self._database.rows(_TOOL_CHECKS)

    def tools_of(self, job: str) -> list[str]:
        """Return the keys of the tools that were used in a job."""
        rows = self._database.rows(_TOOLS_OF, [job])
        return [row["value"] for row in rows]

    def used_in(self, tool: str, days: tuple[str, str], after: str | None, most: int) -> list[Row]:
        """
        Return jobs in which a tool was used, the one begun last first: so many at most, of those
        heard of since the first of two days and begun before the last, after a job.
        """
        asked = {"tool": tool, "first": days[0], "end": days[1], "after": after, "most": most}
        more = "" if after is None else f" and {_AFTER.format(shown='')}"
        return self._database.rows(_USED_IN.format(more=more), asked)

    def backed_up(self, now: str) -> int:
        """
        Return how many records a backup covers that was made here or still stands outside. None
        covers what came after it, whatever it says.
        """
        row = self._database.row(
            'select coalesce(max(case when size < "index" then size else "index" end), 0) as size'
            " from backups"
            " where until is null or until > ?",
            [now],
        )
        assert row is not None  # noqa: S101 - an aggregate always has a row
        return int(row["size"])

    def notices(self, job: str) -> list[Notice]:
        """
        Return what the workshop has stated against a job.

        What recalls find in it is for `summaries` to say: it depends on what was fitted since.
        """
        rows = self._database.rows(_NOTICES, {"job": job})
        return [
            notice(row["code"], _notice(row), tool=row["tool"], stated=row["stated"])
            for row in rows
        ]

    def unfolded(self, most: int = sys.maxsize, after: str = "") -> list[Row]:
        """
        Return jobs whose summary is to be made, with `at`, the index of the record that asks for
        it, `is_noted`, whether their procedure is known, and the `summary` that was kept of the
        job as it is now, if there is one: then only what the workshop states of it has changed.
        """
        return self._database.rows(_UNFOLDED, {"most": most, "after": after})

    def unfolded_jobs(self) -> int:
        """Return how many jobs are to be folded."""
        return int(self._database.rows("select count(*) as jobs from unfolded")[0]["jobs"])

    def desk(self, since: str, after: tuple[int, str], most: int) -> list[Row]:
        """
        Return jobs as the desk has them, in its order after a rank and a job, with `rank` and
        `summary`: all that do not age, and those heard of since a time. Not those whose summary is
        to be made.
        """
        place = {"since": since, "rank": after[0], "job": after[1], "most": most}
        return self._database.rows(_DESK, place)

    def minutes_of_jobs(self, bundle_id: str, most: int) -> list[float]:
        """Return how long the last finished jobs by any edition of a procedure took, in minutes."""
        editions = self._database.rows("select bundle from bundles where id = ?", [bundle_id])
        closed = [self._closed_by(one["bundle"], most) for one in editions]
        newest = heapq.merge(*closed, key=itemgetter("closed"), reverse=True)
        said = (json.loads(row["summary"])["minutes"] for row in newest)
        return list(islice((float(one) for one in said if one is not None), most))

    def _closed_by(self, bundle: str, at_once: int) -> Iterator[Row]:
        """Yield the jobs by a bundle that were closed, the newest first, as far as is asked."""
        asked = {"bundle": bundle, "before": _NO_PLACE, "most": at_once}
        while rows := self._database.rows(_CLOSED_BY, asked):
            yield from rows
            asked["before"] = rows[-1]["closed"]

    def newest_jobs(self, before: tuple[int, str], most: int) -> list[Row]:
        """Return the jobs last heard of before an index and a job, newest first: `summary` too."""
        place = {"last_index": before[0], "job": before[1], "most": most}
        return self._database.rows(_NEWEST_JOBS, place)


def _notice(row: Row) -> str:
    message = words.NOTICES[row["code"]]
    return t(message, what=row["what"], edition=row["edition"], detail=row["detail"])


def _device(row: Row) -> DeviceRow:
    known = {name: row[name] for name in ("device", "key", "role", "person")}
    return DeviceRow(
        **known,
        is_revoked=row["revoked_at"] is not None,
        is_shut=row["shut_at"] is not None,
        scope=None if row["scope"] is None else json.loads(row["scope"]),
    )


def _found(scope: Scope | None, after: str | None, without_hidden: str | None) -> str:
    """
    Return the query for what `find` finds: by a scope's own list of jobs, if it has one; by a key
    whose hidden values are not found, if one is named.
    """
    is_listed = scope is not None and scope.job_ids is not None
    which = _FINDERS_OF_LISTED if is_listed else "finders"
    conditions = ["finders.job = listed.value"] if is_listed else []
    conditions += [] if scope is None else [_BEGUN_IN_DAYS, scope.shows]
    if after is not None:
        # A place that the scope does not show is none, or it would say that such a job is here.
        conditions.append(_AFTER.format(shown="" if scope is None else f" and {scope.shows}"))
    if without_hidden in NOT_HIDDEN:
        conditions.append(NOT_HIDDEN[without_hidden])
    return _FIND.format(which=which, more="".join(f" and {one}" for one in conditions))


def seen_by(sight: AnySight | None) -> dict[str, object]:
    """Return the parameters of a sight's query."""
    return {} if sight is None else sight.parameters


_KEPT = f"select blob from kept where {NOT_ERASED}"  # noqa: S608 - constants only
_DEVICES = """
select devices.*, shut."index" as shut_at from devices left join shut using (device)
"""
_BLOB = f"select 1 from kept where blob = :blob and {NOT_ERASED}"  # noqa: S608 - constants only
_NAMED = """ and (
    exists (select 1 from mentions where blob = :blob and (job = '' or {shows}))
    or exists (select 1 from bundle_assets where blob = :blob))
"""
_FIND = """
select jobs.*, summary from {which} join jobs on jobs.job = finders.job
    left join summaries on summaries.job = jobs.job
where finders.key = :key and finders.value = :value {more}
order by begun desc, finders.job desc limit :most
"""
_FINDERS_OF_LISTED = "json_each(:ids) as listed cross join finders"
_BEGUN_IN_DAYS = "begun >= :first and begun < :end"
_AFTER = "(begun, finders.job) < (select first_received, job from jobs where job = :after{shown})"
NOT_HIDDEN = {
    key: f"not exists ({HIDDEN} and blob = jobs.{key}_blob)"  # in SQL: else pages would count it
    for key in ("vin", "plate")
}
_OTHER_JOBS = """
select job from mentions where blob = :blob and job not in ('', :job)
union select job from held_mentions where blob = :blob and job != :job
"""
# A refused entry is not shown either, and nobody is asked about it again.
_TO_RULE = "shown is null and id not in (select id from refused)"
_HELD_DEVICES = f"""
select entries.device, person, role, shut."index" is not null as is_shut,
    count(*) as entries, count(distinct job) as jobs, sum(length(record)) as bytes,
    min(received) as first_received, max(received) as last_received
from entries join records using ("index", id) join devices on devices.device = entries.device
    left join shut on shut.device = entries.device
where {_TO_RULE} group by entries.device, person, role, shut."index"
order by last_received desc, entries.device
"""  # noqa: S608 - constants only
_HELD = f"""
select "index", id, record from entries join records using ("index", id)
where device = :device and "index" >= :since and {_TO_RULE} order by "index" limit :limit
"""  # noqa: S608 - constants only
_KEY_BRINGERS = """
select "index" from entries where job is null and kind in ('workshop.keyed', 'device.enrolled')
    and "index" < ? order by "index"
"""
_WRITTEN_ON = """
select id from entries where device = :device
    and id in (select value from json_each(:ids)) order by "index"
"""
_WHOLE_BUNDLES = f"""
select bundles.bundle, id, name, edition, engine_codes, bundles."index", withdrawn, kept.size
from bundles join kept on kept.blob = bundles.bundle
where id is not null
    and {NOT_ERASED}
    and not exists (select 1 from bundle_assets where bundle_assets.bundle = bundles.bundle
        and not exists (select 1 from kept where kept.blob = bundle_assets.blob and {NOT_ERASED}))
order by bundles."index"
"""  # noqa: S608 - constants only
_JOBS_BY = f"""
select jobs.job, edition, bay, engine_code, first_received, {OPEN} as is_open
from bundles join jobs using (bundle) where bundles.id = ? order by first_received, jobs.job
"""  # noqa: S608 - constants only
_WORKERS_BY = """
select distinct workers.person from bundles join jobs using (bundle)
    join workers using (job) join speaks using (person) join devices using (device)
where bundles.id = ? and devices.revoked_at is null order by workers.person
"""
_RECALLS = """
select "index", id, key, lot, because, until from recalled_lots join entries using ("index")
order by "index"
"""
_TOOL_CHECKS = """
select "index", id, key, "on", null as said from calibrations join entries using ("index")
union all
select "index", id, key, null, said from tool_checks join entries using ("index")
order by 1
"""
_TOOLS_OF = "select value from finders where job = ? and key = 'tool' order by value"
_USED_IN = """
select jobs.* from finders join jobs on jobs.job = finders.job
where finders.key = 'tool' and finders.value = :tool and begun < :end
    and last_received >= :first {more}
order by begun desc, finders.job desc limit :most
"""
# The job's tools first: a server that knew them not would go through all uses of one tool.
_NOTICES = """
with used as materialized (
    select value as key from finders where job = :job and finders.key = 'tool')
select 'bundle-withdrawn' as code, name as what, edition, withdrawn as detail, null as tool,
    withdrawn_at as stated
from jobs join bundles using (bundle) where job = :job and withdrawn is not null
union all
select 'bundle-not-published', '', 0, '', null, null
from jobs where job = :job and bundle is not null and bundle not in (select bundle from bundles)
union all
select 'tool-retired', label, 0, tool, tool, retired
from used join tools using (key) cross join jobs where job = :job and retired < opened
union all
select 'tool-not-calibrated', label, 0, tool, tool, null
from used join tools using (key) cross join jobs where job = :job and not exists (
    select 1 from calibrations where calibrations.key = tools.key
        and substr(first_received, 1, 10) between "on" and due)
order by code, what, detail
"""
_UNFOLDED = """
select jobs.*, unfolded.at, summaries.summary,
    jobs.bundle in (select bundle from bundles where id is not null) as is_noted
from unfolded join jobs using (job)
    left join summaries on summaries.job = jobs.job and summaries.changed = jobs.changed
where unfolded.job > :after order by unfolded.job limit :most
"""
# Of what ages only what comes before a full page's end: most of it is settled and stands last.
_DESK = """
with standing as materialized (select rank, job from summaries
    where ages = 0 and (rank, job) > (:rank, :job) and job not in (select job from unfolded)
    order by rank, job limit :most),
placed as (
    select rank, job from standing
    union all select rank, job from (select rank, job from summaries
        where ages = 1 and last_received >= :since and (rank, job) > (:rank, :job)
            and rank <= coalesce(
                (select case when count(*) >= :most then max(rank) end from standing), rank)
            and job not in (select job from unfolded)
        order by rank, job limit :most) as ageing
    order by 1, 2 limit :most)
select jobs.*, summaries.rank, summaries.summary
from placed join summaries using (job) join jobs using (job) order by placed.rank, job
"""
_NO_PLACE = 1 << 62  # no ledger has as many records
_CLOSED_BY = """
select closed, summary from jobs join summaries using (job)
where bundle = :bundle and closed < :before order by closed desc limit :most
"""
_NEWEST_JOBS = """
select jobs.*, summary from jobs left join summaries using (job)
where (last_index, job) < (:last_index, :job)
order by last_index desc, job desc limit :most
"""
