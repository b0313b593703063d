"""
All jobs in a list, by what they have in common: what an auditor looks through, and freezes.

What is asked for is data (`Wanted`), the query is put together of fixed parts. Of a job that was
not folded yet (`unfolded`) the exceptions are found now: none is left out of a list for having
changed a moment ago.
"""

import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass
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
NEWEST: Final[Place] = ("~", "")  # behind all times


def listed(
    store: Store, wanted: Wanted, asker: Asker, before: Place = NEWEST, most: int = sys.maxsize
) -> list[Found]:
    """Return jobs, the one that came in last first, each with what is known of its fold."""
    place = {"begun": before[0], "job": before[1], "most": most}
    with store.database.read() as db:  # one snapshot: what is being folded would else be told twice
        made = _made(store)
        sql, asked = _query(_ROWS, wanted, asker, made)
        rows = [dict(row) for row in rows_of(db, sql, asked | place)]
        return [(_shown(db, row, asker), _said(row, made)) for row in rows]


def population(store: Store, wanted: Wanted, asker: Asker, size: int, most: int) -> list[str]:
    """Return the ids, ascending, of the jobs that the first `size` records have opened."""
    with store.database.read() as db:
        sql, asked = _query(_IDS, wanted, asker, _made(store))
        rows = rows_of(db, sql, asked | {"size": size, "most": most})
        return sorted(row["job"] for row in rows)


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


def _query(
    form: str, wanted: Wanted, asker: Asker, made: dict[str, Summary]
) -> tuple[str, dict[str, object]]:
    parts = list(_parts(wanted, asker, made))
    conditions = "".join(f" and {condition}" for condition, _ in parts)
    asked: dict[str, object] = {}
    for _, more in parts:
        asked |= more
    named = next((key for key in _NAMED if getattr(wanted, key) is not None), None)
    return form.format(more=conditions, **(_JOBS if named is None else _JOBS_NAMED)), asked


def _parts(
    wanted: Wanted, asker: Asker, made: dict[str, Summary]
) -> Iterator[tuple[str, dict[str, object]]]:
    """Yield the conditions on a row of `jobs`, each with its parameters."""
    if asker.scope is not None:
        yield asker.scope.shows, seen_by(asker.scope)
    if wanted.days is not None:
        first, last = wanted.days
        yield _IN_DAYS, {"from_day": first, "to_day": f"{last}~"}
    for name, condition in _EQUAL.items():
        value = getattr(wanted, name)
        if value is not None:
            yield condition, {name: value}
    named = {key: sought(key, value) for key in _NAMED if (value := getattr(wanted, key))}
    for number, key in enumerate(named):
        yield (_IS_NAMED if number == 0 else _IS_NAMED_TOO).format(key=key), {key: named[key]}
    if wanted.exception is not None:
        here = [job for job, said in made.items() if wanted.exception in said["codes"]]
        yield _EXCEPTION, {"exception": wanted.exception, "made": json.dumps(here)}
    if wanted.text is not None:
        yield from _text(wanted.text, asker)


def _text(text: str, asker: Asker) -> Iterator[tuple[str, dict[str, object]]]:
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
_IN_DAYS = "first_received >= :from_day and first_received < :to_day"
_EQUAL = {
    "person": "jobs.job in (select job from workers where person = :person)",
    "bundle": "bundle = :bundle",
    "engine_code": "engine_code = :engine_code",
}
# By what they were named as a lot or a tool jobs are read from there: in their order, up to a page.
_NAMED = ("lot", "tool")
_JOBS = {"jobs": "jobs", "at": "first_received", "id": "jobs.job"}
_JOBS_NAMED = {"jobs": "finders as named cross join jobs", "at": "named.begun", "id": "named.job"}
_IS_NAMED = "named.key = '{key}' and named.value = :{key} and jobs.job = named.job"
_IS_NAMED_TOO = "jobs.job in (select job from finders where key = '{key}' and value = :{key})"
_EXCEPTION = """
(jobs.job in (select value from json_each(:made))
    or jobs.job not in (select job from unfolded) and exists (select 1 from summaries as said,
        json_each(said.summary, '$.codes') as listed
        where said.job = jobs.job and listed.value = :exception limit 1 offset 0))
"""
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
where ({at}, {id}) < (:begun, :job) {more}
order by {at} desc, {id} desc limit :most
"""
# Of a call that no job was opened for there is no bag: a sample that drew one could not be taken.
_IDS = """
select jobs.job as job from {jobs} where {at} < '~' and opened < :size {more}
limit :most
"""
