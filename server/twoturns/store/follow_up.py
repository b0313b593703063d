"""
The vehicles of a recall, or of a wrench that was found out: whom to call, and how far that came.

What a recall finds is read from the log of each job that ever fitted the lot, however old; what a
wrench tightened from those between the good check before and the one after. A page reads so many
jobs' logs at most. Names, telephones and words are private values, for owners alone.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Final, Literal

from twoturns.ledger import private
from twoturns.ledger.canonical import MAX_INTEGER
from twoturns.ledger.record import Record
from twoturns.procedure.machine.found_out import Tightened
from twoturns.procedure.machine.recalled_parts import FittedPart, in_engine
from twoturns.store.blob_texts import private_value, sought
from twoturns.store.errors import StoreError
from twoturns.store.labels import Labels
from twoturns.store.logs import Records, log_of
from twoturns.store.port import Row
from twoturns.store.store import Store
from twoturns.store.wrenches import checks_of, found_in
from twoturns.trade.as_found import Check, shown, span
from twoturns.trade.odometer import miles_on_dial
from twoturns.trade.spelling import lot_key
from twoturns.words import t
from twoturns.words.en.store import follow_up as words

# A phone without a line may bring a job so long after it was begun: chosen, no source.
LATE_DAYS: Final = 90
MOST_OTHERS: Final = 20  # of one vehicle's jobs that are looked through for a newer part


@dataclass(frozen=True)
class Matter:
    """A `lot.recalled` or a `tool.checked`: its id, the lot or tool, why, by when, and its day."""

    of: str
    kind: Literal["lot", "tool"]
    name: str
    because: str
    until: str | None
    on: str


def matter(store: Store, of: str) -> Matter:
    """
    Return what an entry states whose vehicles can be followed up.

    Raises:
        StoreError: `not-found`.
    """
    recall = next((one for one in store.views.recalls() if one["id"] == of), None)
    if recall is not None:
        return Matter(of, "lot", recall["lot"], recall["because"], recall["until"], "")
    said = checks_of(store).said.get(of)
    if said is None:
        raise StoreError(t(words.NO_MATTER), hint=t(words.NO_MATTER_HINT), code="not-found")
    because = said.get("certificate", "")
    return Matter(of, "tool", said["tool"], because, said.get("until"), said["on"])


def matters(store: Store) -> list[Matter]:
    """Return every recall, and every check that found a tool out, in the order of the ledger."""
    checks = checks_of(store)
    bad = {one.id for of_tool in checks.of_tool.values() for one in of_tool if not one.is_good}
    stated = [*(one["id"] for one in store.views.recalls()), *(one for one in checks.said)]
    return [matter(store, one) for one in stated if one in bad or one not in checks.said]


def vehicles(
    store: Store, about: Matter, after: str | None, most: int
) -> tuple[list[dict[str, Any]], str | None]:
    """
    Return so many vehicles at most, of jobs begun before one, the newest first; and the job after
    which to go on, None at the end. Jobs in which nothing is found are looked at and left out.
    """
    key, labels = sought("tool", about.name), Labels(store)
    checks = {key: checks_of(store).of_tool[key]} if about.kind == "tool" else {}
    rows = _jobs(store, about, checks.get(key, []), after, most + 1)
    found = []
    for row in rows[:most]:
        records = store.ledger.job_entries(row["job"])
        if about.kind == "lot":
            what = _of_lot(store, about, row, records, labels)
        else:
            what = _of_tool(about, checks, row, records, labels)
        if what is not None:
            found.append(_vehicle(store, about, row, records) | what)
    return found, rows[most - 1]["job"] if len(rows) > most else None


def _jobs(
    store: Store, about: Matter, checks: Sequence[Check], after: str | None, most: int
) -> list[Row]:
    if about.kind == "lot":
        return store.views.find("lot", about.name, after=after, most=most)
    first, last = span(checks, next(one for one in checks if one.id == about.of))
    return store.views.used_in(sought("tool", about.name), (first, _later(last)), after, most)


def _later(day: str) -> str:
    try:
        return (date.fromisoformat(day) + timedelta(days=LATE_DAYS)).isoformat()
    except (ValueError, OverflowError):
        return "~"  # after all days


def _vehicle(store: Store, about: Matter, row: Row, records: Records) -> dict[str, Any]:
    shown = ("job", "plate", "vin", "engine_code", "odometer_km", "odometer_unit")
    known = {name: row[name] for name in shown}
    return {
        **known,
        "begun": row["first_received"],
        "is_closed": row["closed"] is not None,
        "customer": _private(store, row["job"], records, "customer"),
        "phone": _private(store, row["job"], records, "phone"),
        "followed": [*_followed(about, records)],
        "parts": [],
        "fasteners": [],
        "later_job": None,
    }


def _private(store: Store, job: str, records: Records, member: str) -> str | None:
    """Return a private value of the vehicle's owner, as it was written last; None: not here."""
    refs = [
        record.entry.body[member]["blob"]
        for _, record, _ in records
        if record.entry.kind in ("job.opened", "enquiry.taken") and member in record.entry.body
    ]
    blob = refs[-1] if refs else None
    if blob is None or store.views.is_erased(blob) or not store.views.is_of_job(blob, job):
        return None
    return private_value(store.blobs.read(blob, private.MAX_BYTES))


def _followed(about: Matter, records: Records) -> Iterator[dict[str, Any]]:
    for _, record, standing in records:
        said = record.entry
        if said.kind == "recall.followed" and standing != "doubted" and said.body["of"] == about.of:
            yield {
                "entry": said.id,
                "how": said.body["how"],
                "at": said.at,
                "person": said.person,
                "words": said.body.get("words", {}).get("blob"),
            }


# Lots.


def _of_lot(
    store: Store, about: Matter, row: Row, records: Records, labels: Labels
) -> dict[str, Any] | None:
    parts = [one for one in in_engine(log_of(records)) if lot_key(one.lot) == lot_key(about.name)]
    if not parts:
        return None
    stops = [one for one in parts if one.stops(about.of)]
    return {
        "parts": [
            {"part": labels.part(row["bundle"], one.part), "lot": one.lot, "asks": one in stops}
            for one in parts
        ],
        "is_done": not stops,
        "later_job": _fitted_later(store, row, stops) if stops else None,
    }


def _fitted_later(store: Store, row: Row, parts: Sequence[FittedPart]) -> str | None:
    """Return the vehicle's newer job in which each of these parts was fitted of another lot."""
    if row["vin"] is None:
        return None
    recalled = {one.part for one in parts}
    lots = {lot_key(one.lot) for one in parts}
    for other in store.views.find("vin", row["vin"], most=MOST_OTHERS):
        if other["first_received"] > row["first_received"]:
            now = in_engine(log_of(store.ledger.job_entries(other["job"])))
            if recalled <= {one.part for one in now if lot_key(one.lot) not in lots}:
                return str(other["job"])
    return None


# Wrenches.


def _of_tool(
    about: Matter,
    checks: Mapping[str, Sequence[Check]],
    row: Row,
    records: Records,
    labels: Labels,
) -> dict[str, Any] | None:
    found = [one for one in found_in(records, checks) if one.check == about.of]
    if not found:
        return None
    taken = {record.entry.id: record for _, record, _ in records}
    return {
        "fasteners": [_fastener(one, taken[one.entry], row, labels) for one in found],
        "is_done": not any(one.asks for one in found),
    }


def _fastener(one: Tightened, record: Record, row: Row, labels: Labels) -> dict[str, Any]:
    return {
        "entry": one.entry,
        "step": one.step,
        "where": labels.proof(row["bundle"], one.step, one.name),
        "at": record.entry.at,
        "value": one.value,
        "unit": one.unit,
        "low": one.low,
        "high": one.high,
        "setting": shown(one.setting),
        "actual": None if one.actual is None else shown(one.actual),
        "verdict": one.verdict,
        "beyond_permille": round(min(one.beyond * 1000, MAX_INTEGER)),
        "is_settled": one.is_settled,
    }


def rows_of(found: Sequence[Mapping[str, Any]]) -> list[list[str]]:
    """Return a table of vehicles: a head, then a row for each part or fastener."""
    return [[t(one) for one in words.HEAD.values()], *(row for one in found for row in _rows(one))]


def _rows(one: Mapping[str, Any]) -> Iterator[list[str]]:
    last = one["followed"][-1] if one["followed"] else None
    start = [
        one["plate"] or "",
        one["vin"] or "",
        one["engine_code"] or "",
        str(one["odometer_km"] or ""),
        str(miles_on_dial(one["odometer_km"], one["odometer_unit"]) or ""),
        one["customer"] or "",
        one["phone"] or "",
        one["begun"][:10],
        t(words.DONE) if one["is_done"] else t(words.TO_DO),
        "" if last is None else t(words.HOW[last["how"]]) if last["how"] in words.HOW else "",
        "" if last is None else last["at"][:10],
    ]
    for part in one["parts"]:
        yield [*start, part["part"], part["lot"], "", "", "", "", "", ""]
    for each in one["fasteners"]:
        limits = (each["low"] or "", each["high"] or "")
        verdict = t(words.VERDICT[each["verdict"]])
        read = (each["value"], each["unit"], each["actual"] or "")
        yield [*start, each["where"], "", *read, *limits, verdict]
