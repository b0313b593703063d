"""
All jobs in a list, by what they have in common: what an auditor looks through, and freezes.

What is asked for is data (`Wanted`), the query is put together of fixed parts. Of a job that was
not folded yet (`unfolded`) the exceptions are found now: none is left out of a list for having
changed a moment ago.
"""

import json
import sys
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from twoturns.store.blob_texts import sought
from twoturns.store.port import Connection, Row, rows_of
from twoturns.store.sight import Scope
from twoturns.store.store import Store
from twoturns.store.summaries import Folding, Summary
from twoturns.store.views import NOT_HIDDEN, seen_by

VEHICLE: Final = ("vin", "plate")


@dataclass(frozen=True)
class Wanted:
    """
    What jobs have in common; None: it is not asked for.

    `days` are the first and the last on which a job came in; `exception` is a code of the fold;
    `text` begins a plate, VIN, lot, tool or engine code, in any spelling.
    """

    days: tuple[str, str] | None = None
    person: str | None = None
    bundle: str | None = None
    engine_code: str | None = None
    exception: str | None = None
    tool: str | None = None
    lot: str | None = None
    text: str | None = None


@dataclass(frozen=True)
class Asker:
    """
    Who asks: what limits the jobs that are seen (`scope`), which of VIN and plate may be read, and
    whether also what an order of erasing hides.
    """

    scope: Scope | None = None
    vehicle: tuple[str, ...] = VEHICLE
    hidden_too: bool = True


Place = tuple[str, str]  # when a job came in, and its id
Found = tuple[Row, Summary | None]
_Part = tuple[str, dict[str, object]]  # a condition, and what it is given
NEWEST: Final[Place] = ("~", "")  # behind all times


def listed(
    store: Store, wanted: Wanted, asker: Asker, before: Place = NEWEST, most: int = sys.maxsize
) -> list[Found]:
    """Return jobs, the one that came in last first, each with what is known of its fold."""
    place = {"begun": before[0], "before": before[1], "most": most}
    with store.database.read() as db:  # one snapshot: what is being folded would else be told twice
        made = _made(store)
        rows = _found(db, _ROWS, wanted, asker, made, place)
        rows.sort(key=lambda row: (row["first_received"], row["job"]), reverse=True)
        return [(_shown(db, row, asker), _said(row, made)) for row in rows[:most]]


def population(store: Store, wanted: Wanted, asker: Asker, size: int, most: int) -> list[str]:
    """Return the ids, ascending, of the jobs that the first `size` records have opened."""
    with store.database.read() as db:
        rows = _found(db, _IDS, wanted, asker, _made(store), {"size": size, "most": most})
        return sorted(row["job"] for row in rows)[:most]


def _made(store: Store) -> dict[str, Summary]:
    folding = Folding(store)
    return {row["job"]: folding.summary(row) for row in store.views.unfolded()}


def _said(row: Row, made: dict[str, Summary]) -> Summary | None:
    kept = row.pop("summary")
    if row["job"] in made:
        return made[row["job"]]
    found: Summary | None = None if kept is None else json.loads(kept)
    return found


def _shown(db: Connection, row: Row, asker: Asker) -> Row:
    hidden = {name for name in VEHICLE if name not in asker.vehicle}
    if not asker.hidden_too:
        hidden |= {name for name in VEHICLE if _is_hidden(db, row["job"], name)}
    return row | dict.fromkeys(hidden)


def _is_hidden(db: Connection, job: str, name: str) -> bool:
    sql = f"select 1 from jobs where job = ? and not {NOT_HIDDEN[name]}"  # noqa: S608 - our own
    return db.execute(sql, [job]).fetchone() is not None


@dataclass(frozen=True)
class _Source:
    """
    From where jobs are read, and in which order (`at`, `id`): in that in which they came in.

    `named` is what of `_NAMED` the rows are of, if they are of one.
    """

    tables: str
    joined: str = "true"
    at: str = "first_received"
    id: str = "jobs.job"
    named: str | None = None


def _found(
    db: Connection,
    form: str,
    wanted: Wanted,
    asker: Asker,
    made: dict[str, Summary],
    asked: Mapping[str, object],
) -> list[Row]:
    """
    Return what a query finds, up to a page of each source: by what was kept of folds, and of jobs
    that were folded just now.
    """
    source = _source(wanted, asker)
    if wanted.exception is None:
        return _rows(db, form, source, _parts(wanted, asker, source), asked)
    kept = [*_parts(wanted, asker, source), (_IS_FOLDED, {})]
    rows = _rows(db, form, source, kept, asked)
    here = [job for job, said in made.items() if wanted.exception in said["codes"]]
    if here:
        others = _parts(replace(wanted, exception=None), asker, _OF_MADE)
        rows += _rows(db, form, _OF_MADE, others, {**asked, "made": json.dumps(here)})
    return rows


def _source(wanted: Wanted, asker: Asker) -> _Source:
    """Return whence the fewest jobs are gone through: rows of one thing that is asked for."""
    if asker.scope is not None and asker.scope.job_ids is not None:
        return _OF_SCOPE
    named = next((key for key in _NAMED if getattr(wanted, key) is not None), None)
    if named is None:
        return _Source("jobs")
    tables = f"{_NAMED[named][0]} as named cross join jobs"
    return _Source(tables, "jobs.job = named.job", "named.begun", "named.job", named)


def _rows(
    db: Connection, form: str, source: _Source, parts: Iterable[_Part], asked: Mapping[str, object]
) -> list[Row]:
    conditions, given = [source.joined], dict(asked)
    for condition, more in parts:
        conditions.append(condition.format(at=source.at))
        given |= more
    sql = form.format(jobs=source.tables, at=source.at, id=source.id, more=" and ".join(conditions))
    return rows_of(db, sql, given)


def _parts(wanted: Wanted, asker: Asker, source: _Source) -> Iterator[_Part]:
    """Yield the conditions on a job (`{at}`: when it came in), each with its parameters."""
    if asker.scope is not None:
        yield asker.scope.shows, seen_by(asker.scope)
        if asker.scope.is_of_jobs:
            yield _IN_SCOPE, {}
    if wanted.days is not None:
        first, last = wanted.days
        yield _IN_DAYS, {"from_day": first, "to_day": f"{last}~"}
    for name in _EQUAL:
        value = getattr(wanted, name)
        if value is not None:
            yield f"{name} = :{name}", {name: value}
    for name, (table, which) in _NAMED.items():
        value = getattr(wanted, name)
        if value is not None:
            is_one = which if name == source.named else _HAS.format(table=table, which=which)
            yield is_one, {name: sought(name, value) if name in _SPELT else value}
    if wanted.text is not None:
        yield from _text(wanted.text, asker)


def _text(text: str, asker: Asker) -> Iterator[_Part]:
    asked: dict[str, object] = {"code": text, "code_end": f"{text}\U0010ffff"}
    among = [_CODES]
    for key in (*asker.vehicle, "lot", "tool"):
        value = sought(key, text)
        if value == "":  # of signs alone, as no plate begins
            continue
        asked |= {f"{key}_from": value, f"{key}_to": f"{value}\U0010ffff"}
        shown = "" if asker.hidden_too or key not in VEHICLE else f" and {NOT_HIDDEN[key]}"
        among.append(_BEGINS.format(key=key, shown=shown))
    yield _AMONG.format(jobs=" union ".join(among)), asked


_AMONG = "jobs.job in (select job from ({jobs}) as listed)"
_IN_DAYS = "{at} >= :from_day and {at} < :to_day"
# As the scope says itself of the job: said of the rows that are read, it ends the reading.
_IN_SCOPE = "{at} >= :first and {at} < :end"
_EQUAL = ("bundle", "engine_code")
_SPELT = ("lot", "tool")
# What jobs have rows of, the rarest first: in which table, and which. Each has when its job began.
_NAMED = {
    "lot": ("finders", "key = 'lot' and value = :lot"),
    "tool": ("finders", "key = 'tool' and value = :tool"),
    "exception": ("exceptions", "code = :exception"),
    "person": ("workers", "person = :person"),
}
_HAS = """
exists (select 1 from {table} as had where had.job = jobs.job
    and had.begun = jobs.first_received and {which} limit 1 offset 0)
"""
_OF_SCOPE = _Source("json_each(:ids) as listed cross join jobs", "jobs.job = listed.value")
_OF_MADE = _Source("json_each(:made) as listed cross join jobs", "jobs.job = listed.value")
_IS_FOLDED = "jobs.job not in (select job from unfolded)"
_CODES = """
select job from jobs where engine_code >= :code and engine_code < :code_end
"""
_BEGINS = """
select finders.job as job from finders join jobs on jobs.job = finders.job
where key = '{key}' and value >= :{key}_from and value < :{key}_to{shown}
"""
# With a place that is always given: it is read from an index on, and ends with a page.
_ROWS = """
select jobs.*, summaries.summary from {jobs} left join summaries on summaries.job = jobs.job
where ({at}, {id}) < (:begun, :before) and {more}
order by {at} desc, {id} desc limit :most
"""
# Of a call that no job was opened for there is no bag: a sample that drew one could not be taken.
_IDS = """
select jobs.job as job from {jobs} where {at} < '~' and opened < :size and {more}
limit :most
"""
