"""What is asked of the views. Reads only: `projector` is the one that writes them."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from twoturns.ledger.entry import CONSOLE
from twoturns.store.blob_texts import sought
from twoturns.store.database import Database, Row
from twoturns.store.erasures import HIDDEN
from twoturns.store.sight import AnySight


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
        rows = self._database.rows("select person from speaks where device = ?", [device])
        return [row["person"] for row in rows]

    def held_devices(self) -> list[Row]:
        """Return the devices of which something is held back, and how much, the newest first."""
        rows = self._database.rows(_HELD_DEVICES)
        return [{**row, "is_shut": bool(row["is_shut"])} for row in rows]

    def held(self, device: str, since: int = 0, limit: int = -1) -> list[Row]:
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
            sql += f" and job in ({sight.jobs})"
        return self._database.row(sql, {"job": job, **seen_by(sight)}) is not None

    def has_blob(self, blob: str, sight: AnySight | None) -> bool:
        """Say whether a blob is kept, not erased, and (a sight given) named by what it shows."""
        sql = _BLOB if sight is None else _BLOB + _NAMED.format(jobs=sight.jobs)
        return self._database.row(sql, {"blob": blob, **seen_by(sight)}) is not None

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
        return self._database.row(f"select 1 where :blob in ({HIDDEN})", {"blob": blob}) is not None

    def is_erased(self, blob: str) -> bool:
        return self._database.row("select 1 from erased where blob = ?", [blob]) is not None

    def erased(self) -> list[str]:
        """Return every blob whose bytes must not be here."""
        return [row["blob"] for row in self._database.rows("select blob from erased")]

    def kept(self) -> list[str]:
        """Return every blob whose bytes must be here."""
        rows = self._database.rows(
            "select blob from kept where blob not in (select blob from erased) order by blob"
        )
        return [row["blob"] for row in rows]

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
        sql = "select id from entries where job = ? and (has_right or standing = 'good')"
        return {row["id"] for row in self._database.rows(sql, [job])}

    def editions(self, bundle_id: str) -> list[Row]:
        """Return what is published of one procedure."""
        return self._database.rows(
            "select * from bundles where id = ? order by edition", [bundle_id]
        )

    def jobs(self) -> list[Row]:
        """Return all jobs, the last one heard of first."""
        return self._database.rows("select * from jobs order by last_index desc")

    def find(
        self, key: str, value: str, sight: AnySight | None = None, *, hidden_too: bool = True
    ) -> list[Row]:
        """
        Return the jobs with a `vin`, `plate`, `lot` or `tool`, the newest first.

        Without `hidden_too` what an order hides is neither found nor told.
        """
        seen = "" if sight is None else f" and job in ({sight.jobs})"
        rows = self._database.rows(
            "select jobs.* from finders join jobs using (job)"  # noqa: S608 - constants only
            f" where key = :key and value = :value {seen} order by last_index desc",
            {"key": key, "value": sought(key, value), **seen_by(sight)},
        )
        if hidden_too:
            return rows
        shown = [self._without_hidden(row) for row in rows]
        return [row for row in shown if row.get(key, "") is not None]

    def _without_hidden(self, row: Row) -> Row:
        hidden = {
            name: None
            for name in ("vin", "plate")
            if row[f"{name}_blob"] and self.is_hidden(row[f"{name}_blob"])
        }
        return row | hidden

    def recalls(self) -> list[Row]:
        """Return all recalls in the order of the ledger: `index`, `id`, `key`, `lot`, `because`."""
        return self._database.rows(_RECALLS)

    def backed_up(self, now: str) -> int:
        """
        Return how many records a backup covers that was made here or still stands outside. None
        covers what came after it, whatever it says.
        """
        row = self._database.row(
            'select coalesce(max(min(size, "index")), 0) as size from backups'
            " where until is null or until > ?",
            [now],
        )
        assert row is not None  # noqa: S101 - an aggregate always has a row
        return int(row["size"])

    def notices(self, job: str) -> list[Row]:
        """
        Return what the workshop has stated against a job: `code`, `message`, `lot` (none here).

        What recalls find in it is for `desk` to say: it depends on what was fitted since.
        """
        return self._database.rows(_NOTICES, {"job": job})

    def desk(self, since: str) -> list[Row]:
        """
        Return the jobs a desk looks at: not settled, heard of since a time, or touched by a recall.

        That, and a withdrawal, stands on a job as long as there is a ledger. Each job comes with
        its `summary`, or None where the job has changed since one was made.
        """
        return self._database.rows(_DESK, {"since": since})


def _device(row: Row) -> DeviceRow:
    known = {name: row[name] for name in ("device", "key", "role", "person")}
    return DeviceRow(
        **known,
        is_revoked=row["revoked_at"] is not None,
        is_shut=row["shut_at"] is not None,
        scope=None if row["scope"] is None else json.loads(row["scope"]),
    )


def seen_by(sight: AnySight | None) -> dict[str, object]:
    """Return the parameters of a sight's query."""
    return {} if sight is None else sight.parameters


_DEVICES = """
select devices.*, shut."index" as shut_at from devices left join shut using (device)
"""
_BLOB = "select 1 from kept where blob = :blob and blob not in (select blob from erased)"
_NAMED = """ and (
    blob in (select blob from mentions where blob = :blob and (job = '' or job in ({jobs})))
    or blob in (select blob from bundle_assets where blob = :blob))
"""
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
where {_TO_RULE} group by entries.device order by last_received desc
"""  # noqa: S608 - constants only
_HELD = f"""
select "index", id, record from entries join records using ("index", id)
where device = :device and "index" >= :since and {_TO_RULE} order by "index" limit :limit
"""  # noqa: S608 - constants only
_WRITTEN_ON = """
select id from entries where device = :device
    and id in (select value from json_each(:ids)) order by "index"
"""
_WHOLE_BUNDLES = """
select bundles.bundle, id, name, edition, engine_codes, bundles."index", withdrawn, kept.size
from bundles join kept on kept.blob = bundles.bundle
where id is not null
    and bundles.bundle not in (select blob from erased)
    and not exists (select 1 from bundle_assets where bundle_assets.bundle = bundles.bundle
        and (bundle_assets.blob not in (select blob from kept)
            or bundle_assets.blob in (select blob from erased)))
order by bundles."index"
"""
_RECALLS = """
select "index", id, key, lot, because from recalled_lots join entries using ("index")
order by "index"
"""
_NOTICES = """
select 'bundle-withdrawn' as code, null as lot,
    name || ', edition ' || edition || ', was withdrawn: ' || withdrawn as message
from jobs join bundles using (bundle) where job = :job and withdrawn is not null
union all
select 'bundle-not-published', null, 'its procedure was never published by this workshop'
from jobs where job = :job and bundle is not null and bundle not in (select bundle from bundles)
union all
select 'tool-not-calibrated', null, label || ' (' || tool || ') was not calibrated on that day'
from finders join tools on tools.key = value join jobs using (job)
where finders.key = 'tool' and job = :job and not exists (
    select 1 from calibrations where calibrations.key = tools.key
        and substr(first_received, 1, 10) between "on" and due)
order by code, message
"""
_DESK = """
select jobs.*, summaries.summary
from jobs left join summaries on summaries.job = jobs.job and summaries.changed = jobs.changed
where jobs.job in (
    select job from unfolded
    union select job from summaries where settled = 0
    union select job from jobs where last_received >= :since
    union select finders.job from recalled_lots
        join finders on finders.key = 'lot' and finders.value = recalled_lots.key
    union select jobs.job from bundles cross join jobs on jobs.bundle = bundles.bundle
        where withdrawn is not null)
"""
