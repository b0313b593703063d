"""
What jobs tell of the work itself: minutes a step, what did not hold, what was measured and what was
only said. `of_job` is kept with a job's summary; `over` adds up the jobs that were closed last.

Minutes are those between the keys of one device, *begun* and *done*: a step that two devices did,
one during which the job was parked, and one that lay over the longest time are not counted.
"""

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from statistics import median
from typing import Any, Final, TypedDict

from twoturns.ledger.bodies_of_jobs import INSTRUMENTS
from twoturns.ledger.entry import Entry
from twoturns.ledger.forms import DECIMAL, is_formed
from twoturns.store.blob_texts import bundle_of
from twoturns.store.port import Row
from twoturns.store.store import Store

LONGEST_MINUTES: Final = 240  # chosen: beyond four hours at one step somebody was elsewhere
MOST_BUNDLES: Final = 40  # of those looked at, procedures whose words are read
COMEBACK_DAYS: Final = 365  # chosen: the same vehicle again within a year
MOST_STEPS: Final = 500
MOST_CAUSES: Final = 50


class Work(TypedDict):
    """
    Of one job. `minutes` by step; `failed` by step and failure, `again` by step: how often;
    `measured` readings of an instrument, `read` figures read by eye, `said` choices.
    """

    minutes: dict[str, float]
    failed: dict[str, dict[str, int]]
    again: dict[str, int]
    measured: int
    read: int
    said: int


def nothing() -> Work:
    """Return what is told of a job whose procedure is not here."""
    return Work(minutes={}, failed={}, again={}, measured=0, read=0, said=0)


def of_job(entries: Sequence[Entry]) -> Work:
    """Return what the entries of a job tell, in the order of the ledger."""
    work = nothing()
    clock = _Clock()
    for one in entries:
        clock.hear(one)
        step = one.body.get("step")
        if one.kind == "step.failed":
            causes = work["failed"].setdefault(one.body["step"], {})
            causes[one.body["failure"]] = causes.get(one.body["failure"], 0) + 1
        elif one.kind == "step.reopened":
            work["again"][one.body["step"]] = work["again"].get(one.body["step"], 0) + 1
        elif one.kind == "reading.taken":
            _count(work, one.body)
        elif one.kind == "step.done" and isinstance(step, str):
            spent = clock.spent(one)
            if spent is not None:
                work["minutes"][step] = round(work["minutes"].get(step, 0) + spent, 1)
    return work


def _count(work: Work, body: Mapping[str, Any]) -> None:
    if body.get("by") in INSTRUMENTS:
        work["measured"] += 1
    elif is_formed(body["value"], DECIMAL):
        work["read"] += 1
    else:
        work["said"] += 1


class _Clock:
    """When steps were begun, by which device; a step that a pause fell into is not known."""

    def __init__(self) -> None:
        self._begun: dict[str, Entry] = {}

    def hear(self, one: Entry) -> None:
        if one.kind == "step.begun":
            self._begun[one.body["step"]] = one
        elif one.kind in ("job.parked", "job.closed", "job.taken"):
            self._begun.clear()

    def spent(self, done: Entry) -> float | None:
        """Return the minutes that a step took; None where nobody can say."""
        begun = self._begun.pop(done.body["step"], None)
        if begun is None or begun.device != done.device:
            return None
        try:
            spent = datetime.fromisoformat(done.at) - datetime.fromisoformat(begun.at)
        except ValueError:
            return None  # of the right shape, and no time
        minutes = spent.total_seconds() / 60
        return minutes if 0 <= minutes <= LONGEST_MINUTES else None


@dataclass
class _Step:
    minutes: list[float] = field(default_factory=list)
    jobs: int = 0
    failed: int = 0
    again: int = 0


@dataclass
class _Sum:
    steps: dict[tuple[str, str], _Step] = field(default_factory=dict)
    causes: Counter[tuple[str, str, str]] = field(default_factory=Counter)
    months: dict[str, list[int]] = field(default_factory=dict)  # jobs, first time right, comebacks
    counts: Counter[str] = field(default_factory=Counter)


def over(store: Store, most: int) -> dict[str, Any]:
    """
    Add up the `most` jobs that were closed last: in bounded work, however many there are.

    Returns:
        `jobs`, `since` (when the first of them was closed), `months`, `steps`, `causes`, `counts`
        and `comebacks`, as `web.figures` describes them.
    """
    with store.database.read():
        rows = store.database.rows(_CLOSED_LAST, {"most": most})
        backs = [{**row, **back} for row in rows if (back := _came_back(store, row)) is not None]
    total, words = _Sum(), _Words(store)
    for row in rows:
        _add(total, row, words.id_of(row["bundle"]))
    for back in backs:
        total.months[back["closed_at"][:7]][2] += 1
    return {
        "jobs": len(rows),
        "since": rows[-1]["closed_at"] if rows else None,
        "months": [
            {"month": month, "jobs": jobs, "first_time_right": right, "comebacks": back}
            for month, (jobs, right, back) in sorted(total.months.items())
        ],
        "steps": list(_steps(total, words)),
        "causes": list(_causes(total, words)),
        "counts": {name: total.counts[name] for name in ("measured", "read", "said")},
        "comebacks": [
            {name: back[name] for name in ("job", "closed_at", "before", "before_at")}
            for back in backs
        ],
    }


def _add(total: _Sum, row: Row, procedure: str) -> None:
    said = json.loads(row["summary"])["work"]
    month = total.months.setdefault(row["closed_at"][:7], [0, 0, 0])
    month[0] += 1
    month[1] += not said["failed"] and not said["again"]
    for name in ("measured", "read", "said"):
        total.counts[name] += said[name]
    for step in said["minutes"].keys() | said["failed"].keys() | said["again"].keys():
        known = total.steps.setdefault((procedure, step), _Step())
        known.jobs += 1
        if step in said["minutes"]:
            known.minutes.append(said["minutes"][step])
        known.failed += sum(said["failed"].get(step, {}).values())
        known.again += said["again"].get(step, 0)
    for step, causes in said["failed"].items():
        for failure, often in causes.items():
            total.causes[(procedure, step, failure)] += often


def _steps(total: _Sum, words: "_Words") -> Iterator[dict[str, Any]]:
    """Yield what each step took and how often it was done again, in the order of the work."""
    order = sorted(total.steps, key=lambda one: (one[0], words.place(*one)))
    for procedure, step in order[:MOST_STEPS]:
        known = total.steps[(procedure, step)]
        yield {
            "procedure": words.name(procedure),
            "step": words.step(procedure, step),
            "jobs": known.jobs,
            "minutes": round(median(known.minutes), 1) if known.minutes else None,
            "slow_minutes": _slow(known.minutes),
            "failed": known.failed,
            "again": known.again,
        }


def _slow(minutes: Sequence[float]) -> float | None:
    """Return what one in ten takes longer than: the value at nine tenths, by nearest rank."""
    return sorted(minutes)[-(-9 * len(minutes) // 10) - 1] if minutes else None


def _causes(total: _Sum, words: "_Words") -> Iterator[dict[str, Any]]:
    for (procedure, step, failure), often in total.causes.most_common(MOST_CAUSES):
        yield {
            "procedure": words.name(procedure),
            "step": words.step(procedure, step),
            "says": words.failure(procedure, step, failure),
            "often": often,
        }


def _came_back(store: Store, row: Row) -> dict[str, Any] | None:
    """Return the job of the same vehicle that was closed before this one was begun, if it was."""
    found = store.database.row(_BEFORE, {"job": row["job"]})
    if found is None:
        return None
    days = (_day(row["first_received"]) - _day(found["before_at"])).days
    return found if days <= COMEBACK_DAYS else None


def _day(received: str) -> datetime:
    return datetime.fromisoformat(received)


class _Words:
    """How procedures call their steps and failures: the newest edition that is met speaks."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._ids: dict[str, str] = {}
        self._said: dict[str, dict[str, Any]] = {}

    def id_of(self, bundle: str | None) -> str:
        """Return the id of a bundle's procedure; its own name where it is not here."""
        if bundle is None:
            return ""
        if bundle not in self._ids:
            said = self._read(bundle) if len(self._ids) < MOST_BUNDLES else {}
            self._ids[bundle] = said.get("id", bundle)
            known = self._said.get(self._ids[bundle])
            if "edition" in said and (known is None or known["edition"] < said["edition"]):
                self._said[self._ids[bundle]] = said
        return self._ids[bundle]

    def _read(self, bundle: str) -> dict[str, Any]:
        """Return a published bundle: a job may name any file, and its words would speak here."""
        is_published = self._store.views.is_published(bundle)
        said = bundle_of(self._store.blobs.read(bundle)) if is_published else None
        return {} if said is None else dict(said)

    def name(self, procedure: str) -> str:
        return str(self._said.get(procedure, {}).get("name", procedure[:12]))

    def place(self, procedure: str, step: str) -> int:
        ids = [one["id"] for one in self._steps(procedure)]
        return ids.index(step) if step in ids else len(ids)

    def step(self, procedure: str, step: str) -> str:
        found = self._find(procedure, step)
        return step if found is None else f"{found['number']} {found['title']}".strip()

    def failure(self, procedure: str, step: str, failure: str) -> str:
        fails: Iterable[Any] = (self._find(procedure, step) or {}).get("fails", ())
        return next((str(one["says"]) for one in fails if one["id"] == failure), failure)

    def _find(self, procedure: str, step: str) -> dict[str, Any] | None:
        return next((one for one in self._steps(procedure) if one["id"] == step), None)

    def _steps(self, procedure: str) -> list[dict[str, Any]]:
        return list(self._said.get(procedure, {}).get("steps", ()))


_CLOSED_LAST = """
select jobs.job, bundle, first_received, closing.received as closed_at, summary
from (select job, ended from jobs where ended is not null and closed is not null
    order by ended desc, job desc limit :most) as last
    join jobs using (job) join summaries using (job)
    join entries as closing on closing."index" = last.ended
order by last.ended desc, last.job desc
"""
# The same vehicle's job that was begun last before this one, if that one was closed.
_BEFORE = """
select before.job as before, closing.received as before_at
from finders as vin join jobs as this on this.job = vin.job
    join finders as before on before.key = 'vin' and before.value = vin.value
        and before.begun < this.first_received and before.job != this.job
    join jobs on jobs.job = before.job and jobs.closed is not null
    join entries as closing on closing."index" = jobs.ended
where vin.key = 'vin' and vin.job = :job order by before.begun desc limit 1
"""
