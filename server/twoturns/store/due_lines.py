"""The belts that will be due, as the owner reads them: by day, with whom to call."""

from datetime import date
from typing import Any, Final

from twoturns.ledger import private
from twoturns.store.blob_texts import private_value
from twoturns.store.dues import readings_of
from twoturns.store.port import Connection, Row
from twoturns.store.store import Store
from twoturns.trade.interval import Due, Reading, forecast

DAYS_A_YEAR: Final = 365.25

Place = tuple[str, str]  # a day and a job: where a line stands
FIRST: Final[Place] = ("", "")


def lines(store: Store, today: date, after: Place, most: int) -> list[tuple[Place, dict[str, Any]]]:
    """
    Return belts that are due, the first first: so many at most, of those after a place, each with
    its place. Not those whose vehicle was finished here once more since.
    """
    found: list[tuple[Place, dict[str, Any]]] = []
    with store.database.read() as db:
        while len(found) < most:
            place = {"day": after[0], "job": after[1], "most": most}
            rows = store.database.rows(_DUE, place)
            found += [
                ((row["day"], row["job"]), _line(store, db, row, today))
                for row in rows
                if not row["is_past"]
            ]
            if len(rows) < most:
                break
            after = (rows[-1]["day"], rows[-1]["job"])
    return found[:most]


def _line(store: Store, db: Connection, row: Row, today: date) -> dict[str, Any]:
    limit = Due(row["limit_km"], date.fromisoformat(row["limit_day"]))
    readings = readings_of(db, row["job"], row["closed_on"])
    said = forecast(limit, readings, today)
    rate = said.km_a_day if len(readings) > 1 else None
    shown = ("job", "plate", "vin", "engine_code", "limit_km", "limit_day", "closed_on")
    return {
        **{name: row[name] for name in (*shown, "odometer_unit")},
        "day": row["day"],
        "earliest": None if said.earliest is None else said.earliest.isoformat(),
        "latest": None if said.latest is None else said.latest.isoformat(),
        "by": said.by,
        "km_a_year": None if rate is None else round(rate * DAYS_A_YEAR),
        "even_km_a_year": _even(limit, readings),
        "oddities": [one.says for one in said.oddities],
        "customer_name": text_of(store, row["customer_blob"]),
        "telephone": text_of(store, row["phone_blob"]),
    }


def _even(limit: Due, readings: list[Reading]) -> int | None:
    """Return the use a year, km, above which the distance comes before the date."""
    if not readings or limit.km is None or limit.on is None:
        return None
    days = (limit.on - readings[-1].on).days
    return round((limit.km - readings[-1].km) / days * DAYS_A_YEAR) if days > 0 else None


def text_of(store: Store, blob: str | None) -> str | None:
    """Return a private value's text, or None where it is not here, or was erased."""
    return None if blob is None else private_value(store.blobs.read(blob, private.MAX_BYTES))


_DUE = """
select dues.*, plate, vin, engine_code, odometer_unit, customer_blob, phone_blob,
    exists (select 1 from finders as vin join finders as later on later.key = 'vin'
        and later.value = vin.value and later.begun > vin.begun
        join dues as other on other.job = later.job
        where vin.key = 'vin' and vin.job = dues.job limit 1 offset 0) as is_past
from dues join jobs using (job) where (dues.day, dues.job) > (:day, :job)
order by dues.day, dues.job limit :most
"""
