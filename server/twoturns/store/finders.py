"""
By what a job is found: its code on a sticker, its vehicle's VIN and plate, the lots fitted and the
tools used in it.

A VIN or a plate is a private value: a job's opening names it by its hash. Its text is shown once
the blob is here, and no more when that is erased.
"""

import re

from twoturns.ledger.entry import Entry
from twoturns.store import photo_rows
from twoturns.store.blob_facts import BlobFacts
from twoturns.store.blob_texts import sought
from twoturns.store.port import Connection
from twoturns.trade.job_code import job_code


class Finders:
    """Writes them, within one transaction, as openings, blobs and erasures come in."""

    def __init__(self, db: Connection, facts: BlobFacts) -> None:
        self._db, self._facts = db, facts

    def note(self, entry: Entry, job: str) -> None:
        """Take in the lot and the tool that an entry names."""
        key, name = _NAMED_IN.get(entry.kind, ("", ""))
        if name in entry.body:
            self._note(key, entry.body[name], job)

    def open_job(self, index: int, entry: Entry) -> None:
        """
        The first opening that counts names the vehicle; another is an exception of the fold's, and
        a doubted one is shown among the job's entries, and no more. Before it the call that was
        taken last does; what is known by a call alone stays.
        """
        job, body = entry.job or "", entry.body
        said = {name: body.get(name) for name in _OF_OPENING}
        said |= {f"{name}_blob": body[name]["blob"] if name in body else None for name in _PRIVATE}
        opened = self._db.execute(_OPENS[entry.kind], {"index": index, "job": job, **said})
        if opened.rowcount:
            photo_rows.name_procedure(self._db, job)
            self._note("code", job_code(job), job)
            *blobs, vin, plate = self._db.execute(_VEHICLE_OF, [job]).fetchone()
            for field, of_a_call in (("vin", vin), ("plate", plate)):
                if of_a_call is not None:
                    self._forget(field, job)  # the opening may name another
            for blob in dict.fromkeys(blobs):
                if blob is not None and is_here(self._db, blob):
                    self.fill_vehicle(blob)

    def correct_opening(self, entry: Entry) -> None:
        """Take in what the odometer was at the opening, where a `reading.corrected` is of that."""
        value, of = entry.body["value"], entry.body["of"]
        if re.fullmatch(r"[0-9]{1,9}", value):
            self._db.execute(_CORRECTS, {"km": int(value), "job": entry.job, "of": of})

    def fill_vehicle(self, blob: str) -> None:
        """Write a VIN or plate into the job it belongs to, once its private value is here."""
        named = {
            field: [row[0] for row in self._db.execute(sql, [blob]).fetchall()]
            for field, sql in _NAMED_AS.items()
        }
        if not any(named.values()):
            return
        value = self._facts.value(blob)
        if value is None:
            return  # not a private value, or damaged; in a rebuild also one that is erased later on
        for field, jobs in named.items():
            for job in jobs:
                self._db.execute(_FILL[field], [value, job])
                self._note(field, value, job)

    def forget_vehicle(self, blob: str) -> None:
        """Take a VIN or plate that is erased out of its jobs."""
        for field in ("vin", "plate"):
            rows = self._db.execute(_NAMED_AS[field], [blob]).fetchall()
            for (job,) in rows:
                self._forget(field, job)

    def _forget(self, field: str, job: str) -> None:
        self._db.execute(_FILL[field], [None, job])
        self._db.execute("delete from finders where key = ? and job = ?", [field, job])

    def _note(self, key: str, value: str, job: str) -> None:
        self._db.later(_FINDER, [key, sought(key, value), job])


def is_here(db: Connection, blob: str) -> bool:
    """Say whether a blob is kept and not erased: its bytes may have been read before that."""
    return db.execute(_IS_HERE, [blob]).fetchone() is not None


_FINDER = """
insert into finders select ?, ?, first_received, job from jobs where job = ?
on conflict do nothing
"""
OPENING = ("job.opened", "enquiry.taken")
_OF_OPENING = ("bundle", "engine_code", "bay", "odometer_km", "odometer_unit")
_PRIVATE = ("vin", "plate", "customer", "phone")
_KNOWN = ", ".join(
    f"{name} = coalesce(:{name}, {name})"
    for name in ("engine_code", "odometer_km", *(f"{name}_blob" for name in _PRIVATE))
)
_OPENS = {
    "job.opened": f"""
        update jobs set opened = :index, bundle = :bundle, bay = :bay,
            odometer_unit = :odometer_unit, {_KNOWN}
        where job = :job and opened is null
    """,  # noqa: S608 - constants only
    "enquiry.taken": f"""
        update jobs set enquired = :index, {_KNOWN},
            odometer_unit = coalesce(:odometer_unit, odometer_unit)
        where job = :job and opened is null
    """,  # noqa: S608 - constants only
}
_CORRECTS = """
update jobs set odometer_km = :km where job = :job
    and exists (select 1 from entries where "index" = jobs.opened and id = :of)
"""
_VEHICLE_OF = "select vin_blob, plate_blob, vin, plate from jobs where job = ?"
#: The condition on a row of `kept`: its bytes must be here.
NOT_ERASED = "not exists (select 1 from erased where erased.blob = kept.blob)"
_IS_HERE = f"select 1 from kept where blob = ? and {NOT_ERASED}"  # noqa: S608 - constants only
_NAMED_AS = {
    "vin": "select job from jobs join mentions using (job) where vin_blob = ? and blob = vin_blob",
    "plate": "select job from jobs join mentions using (job)"
    " where plate_blob = ? and blob = plate_blob",
}
_FILL = {
    "vin": "update jobs set vin = ? where job = ?",
    "plate": "update jobs set plate = ? where job = ?",
}
_NAMED_IN = {
    "part.fitted": ("lot", "lot"),
    "page.shared": ("page", "token"),
    "reading.taken": ("tool", "tool"),
    "tool.out": ("tool", "id"),
}
