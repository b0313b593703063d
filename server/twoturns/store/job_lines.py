"""Jobs in a line each, as their owner reads them: who works on them, for whom, how they stand."""

import json
from collections.abc import Iterable, Iterator
from typing import Any, Final

from twoturns.store.port import Row
from twoturns.store.store import Store

_SAID: Final = ("state", "exceptions", "questions", "answered", "findings", "planned", "parked")
_PROGRESS: Final = ("done", "steps")


def lines(store: Store, rows: Iterable[Row]) -> Iterator[dict[str, Any]]:
    """
    Yield rows of `jobs` with `summary` (None while it is made), each with `persons` who worked on
    the job, and of its summary how it stands.
    """
    for row in rows:
        said = {} if row["summary"] is None else json.loads(row["summary"])
        yield {
            **row,
            "persons": [one["person"] for one in store.database.rows(_WORKERS, [row["job"]])],
            **{name: said.get(name) for name in (*_SAID, *_PROGRESS)},
        }


def since(store: Store, moment: str, most: int) -> list[dict[str, Any]]:
    """
    Return the jobs of which something came in since a time, the newest first, so many at most: each
    line with `kinds`, how many entries of each kind came.
    """
    first = _index_since(store, moment)
    rows = store.database.rows(_HEARD_OF, {"since": first, "most": most})
    return [
        {**line, "kinds": _kinds(store, line["job"], first), "is_new": _is_new(line)}
        for line in lines(store, rows)
    ]


def _is_new(line: dict[str, Any]) -> bool | None:
    since: int | None = line["opened_since"]  # of a call nobody knows: it is not opened
    return None if since is None else bool(since)


def _kinds(store: Store, job: str, first: int) -> dict[str, int]:
    rows = store.database.rows(_KINDS, {"job": job, "since": first})
    return {row["kind"]: row["often"] for row in rows}


def _index_since(store: Store, moment: str) -> int:
    """Return the first record received at a time or later: the workshop's clock goes forward."""
    low, high = 0, store.ledger.size()
    while low < high:
        middle = (low + high) // 2
        row = store.database.row('select received from entries where "index" = ?', [middle])
        if row is None or row["received"] >= moment:
            high = middle
        else:
            low = middle + 1
    return low


_WORKERS = "select person from workers where job = ? order by person"
_HEARD_OF = """
select jobs.*, summary, opened >= :since as opened_since
from jobs left join summaries using (job)
where last_index >= :since order by last_index desc, job desc limit :most
"""
_KINDS = """
select kind, count(*) as often from entries where job = :job and shown >= :since
group by kind order by kind
"""
