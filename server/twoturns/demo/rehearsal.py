"""
A rehearsal: a procedure that is being written, in the hands of a real phone.

A workshop of its own holds it, which is thrown away after. Each time it is shown it is published
there as one edition more, by an owner's phone, proved or not; and a job by it is opened and done
by a script up to the step that its author wants to see.
"""

from datetime import datetime, timedelta
from pathlib import Path

from twoturns.demo.drawn_written import Seen
from twoturns.demo.pictures import Camera
from twoturns.demo.scripted_phone import Work
from twoturns.demo.workshop import deliver, enrolled
from twoturns.procedure import shape
from twoturns.procedure.compile.bundle import Bundle, canonical
from twoturns.procedure.language.vocabulary import TOOL_UNITS
from twoturns.store import Store
from twoturns.store.bundles import Ready, put, ready
from twoturns.words import t
from twoturns.words.en.demo import rehearsal as words

_ODOMETER_KM = 100_000
_LOT = "LOT-1"  # as `Work` says where no other is given
_VIN = "TT000000000000001"
_CALIBRATED = timedelta(days=30)
_DUE = timedelta(days=365)


def new_rehearsal(folder: Path, person: str, name: str, now: datetime) -> Store:
    """Make the workshop of a rehearsal: its only person, and a tool of each type."""
    store = Store.create(folder, t(words.WORKSHOP), now)
    store.name_person(person, name, now)
    for kind, unit in TOOL_UNITS.items():
        tool = {"tool": kind.upper(), "type": kind, "label": kind.replace("_", " ")}
        said = {**tool, "low": "-1000", "high": "1000", "unit": unit}
        store.ledger.state("tool.registered", said, now)
        on, due = (now - _CALIBRATED).date(), (now + _DUE).date()
        days = {"tool": tool["tool"], "on": on.isoformat(), "due": due.isoformat()}
        store.ledger.state("tool.calibrated", days, now)
    return store


class Rehearsal:
    """Shows one edition after the other to the phones of a rehearsal's workshop."""

    def __init__(self, store: Store, person: str, now: datetime) -> None:
        self.store, self.shown = store, 0
        self._owner = enrolled(store, person, "owner", now)
        self._mechanic = enrolled(store, person, "mechanic", now)

    def show(self, bundle: Bundle, job: str, step: str | None, now: datetime) -> str | None:
        """
        Publish a bundle as one edition more, and have a job by it stand at a step.

        Args:
            bundle: As it was just compiled.
            job: A fresh id for the job.
            step: Where it is to stand; without one, at its beginning.
            now: When.

        Returns:
            Where it came to stand: the step's id; None at its end.

        Raises:
            ValueError: If the script cannot do a step, or there is no such step.
        """
        self.shown += 1
        edition = _as_edition(bundle, self.shown)
        put(self.store, edition, now)
        said = edition.bundle
        body = {
            "bundle": edition.sha256,
            "name": said["name"],
            "edition": said["edition"],
            "engine_codes": said["engine_codes"],
        }
        self._owner.clock = self._mechanic.clock = now
        self._owner.write("bundle.published", body)
        deliver(self.store, self._owner, now)
        return self._open(edition, job, step, now)

    def _open(self, edition: Ready, job: str, step: str | None, now: datetime) -> str | None:
        said = edition.bundle
        tools = [
            {"tool": kind.upper(), "type": kind, "unit": unit, "low": "-1000", "high": "1000"}
            for kind, unit in TOOL_UNITS.items()
        ]
        seen = Seen(now.date(), _ODOMETER_KM, said["engine_codes"][0], lot=_LOT)
        photo = Camera(said).on(seen)
        work = Work(said, job, photo, tools=tools, takes_time=False)
        vehicle = {
            "vin": _VIN,
            "plate": t(words.PLATE, n=self.shown),
            "odometer_km": _ODOMETER_KM,
            "engine_code": said["engine_codes"][0],
            "bay": "1",
        }
        work.open(self._mechanic, edition.sha256, vehicle)
        try:
            if step is not None:
                work.run(self._mechanic, until=step, minutes=0)
        finally:  # what was done stands, wherever the script came to its end
            deliver(self.store, self._mechanic, max(now, self._mechanic.clock))
        return work.next_step()


def _as_edition(bundle: Bundle, edition: int) -> Ready:
    said: shape.Bundle = {**bundle.bundle, "edition": edition}
    data = canonical(said)
    return ready(said, data, bundle.assets)
