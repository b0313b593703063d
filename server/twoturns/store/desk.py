"""
The owner's desk: every job in a line, what needs eyes first.

What comes of a job and what the workshop states of it is kept until one of them changes
(`summaries`), with its place at the desk: so a recall shows on jobs long closed, and a page of the
desk costs what it shows. Reading changes nothing: what is not kept yet is put in its place here.
Settled jobs are shown for a time only, unless a recall or a withdrawal speaks against them.
"""

import json
import sys
from typing import Any, Final

from twoturns.store.desk_order import FIRST, ages, rank
from twoturns.store.port import Row
from twoturns.store.store import Store
from twoturns.store.summaries import Folding, Summary

_SHOWN = (
    *("job", "bundle", "engine_code", "bay", "odometer_km", "odometer_unit"),
    *("vin", "plate", "entries"),
)
_KEPT_ALONE = ("found", "shown_before", "minutes", "settled", "work", "closed_on", "interval")

# Some 2 s. Of more jobs a wrench that was found out is told once their summaries are renewed.
MOST_LOGS: Final = 50

Place = tuple[int, str]  # rank and job: where a line stands


def desk(
    store: Store, since: str, after: Place = FIRST, most: int = sys.maxsize
) -> list[tuple[Place, dict[str, Any]]]:
    """
    Return what is not settled, heard of since a time or spoken against, worst first: so many lines
    at most, of those after a place, each with its place.
    """
    with store.database.read():  # one snapshot: what is being made would else be told twice, or not
        folding = Folding(store, most_logs=MOST_LOGS)
        made = [(row, folding.summary(row)) for row in store.views.unfolded()]
        kept = [(row, json.loads(row["summary"])) for row in store.views.desk(since, after, most)]
    lines = {
        (rank(said), row["job"]): _line(row, said)
        for row, said in [*kept, *made]
        if not (ages(said) and row["last_received"] < since)
    }
    in_order = sorted((place, line) for place, line in lines.items() if place > after)
    return in_order[:most]


def _line(row: Row, said: Summary) -> dict[str, Any]:
    shown = {name: row[name] for name in _SHOWN} | {"last_received": row["last_received"]}
    shown |= {"customer": row["customer_blob"], "phone": row["phone_blob"]}
    return {**shown, **{name: what for name, what in said.items() if name not in _KEPT_ALONE}}
