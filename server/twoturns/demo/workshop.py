"""
The demo: a workshop with people, tools, procedures and jobs in several states.

Everything in it came in the way a phone's entries do: signed by an enrolled device, appended by
the store. What happens is written in `demo_jobs/*.yaml`: `workshop.yaml` says who and what is
there, and what happened in it; each other file is the story of one job. Names, parts and vehicles
are invented.
"""

import json
import os
import shutil
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime, time, timedelta
from functools import partial
from pathlib import Path
from typing import Any, Final

import yaml

from twoturns.demo.caller import enquiry
from twoturns.demo.drawn_written import Seen
from twoturns.demo.pictures import Camera
from twoturns.demo.scripted_phone import ScriptedPhone, Work
from twoturns.demo.teller import Teller
from twoturns.ledger.keys import SigningKey
from twoturns.procedure.compile.bundle import Bundle, load
from twoturns.store import Store
from twoturns.store.backup import back_up
from twoturns.store.blob_texts import wants_an_owner
from twoturns.store.bundles import publish, put
from twoturns.store.enrolment import let_in
from twoturns.store.errors import NotAWorkshop
from twoturns.store.invite import invite
from twoturns.trade.interval import Interval, due
from twoturns.words import t
from twoturns.words.en.demo import workshop as texts

MARK: Final = "demo.json"  # in the folder, once it is whole: who the demo's people are
_SET_UP_BEFORE: Final = timedelta(days=24)
_FRIDAY: Final = 4
_CALIBRATED_BEFORE: Final = timedelta(days=120)
_DUE_AFTER: Final = timedelta(days=365)


def scripts_folder() -> Path:
    """Return where the demo's scripts are: in the wheel's package, in a checkout at its top."""
    package = Path(__file__).resolve().parents[1]
    packed = package / "demo_jobs"
    return packed if packed.is_dir() else package.parents[1] / "demo_jobs"


def open_demo(folder: Path, now: datetime, new_person: Callable[[], str]) -> Store:
    """
    Return the demo workshop in a folder, made there if there is none yet.

    It is made beside the folder and moved into place when it is whole, so that a demo that was
    interrupted while it was made is never taken for one.

    Raises:
        NotAWorkshop: If the folder holds something else.
    """
    if (folder / MARK).is_file():
        return Store(folder)
    if folder.exists() and any(folder.iterdir()):
        raise NotAWorkshop(
            t(texts.NOT_A_DEMO, folder=str(folder)),
            hint=t(texts.NOT_A_DEMO_HINT),
        )
    half = folder.with_name(f".{folder.name}.{os.getpid()}")
    demo = None
    try:
        demo = _Demo(half, folder, now, new_person)
        demo.make()
    except BaseException:
        for each in (half, *([demo.backup] if demo else [])):
            shutil.rmtree(each, ignore_errors=True)  # nothing in it came from anybody
        raise
    if folder.exists():
        folder.rmdir()
    half.rename(folder)
    return Store(folder)


def persons(store: Store) -> dict[str, dict[str, str]]:
    """Return the demo's people: by what the scripts call them, `person`, `role` and `name`."""
    said: dict[str, dict[str, str]] = json.loads((store.folder / MARK).read_text())
    return said


def moment(began: Mapping[str, Any], now: datetime) -> datetime:
    """
    Return when something began: hours before now, or at a time of a working day before today.

    Args:
        began: `hours_ago`; or `workdays_ago` and `at`, a time by the clock of this machine.
        now: In UTC.
    """
    if "hours_ago" in began:
        return now - timedelta(hours=float(began["hours_ago"]))
    day = now.astimezone().date()
    for _ in range(int(began["workdays_ago"])):
        day -= timedelta(days=1)
        while day.weekday() > _FRIDAY:
            day -= timedelta(days=1)
    return datetime.combine(day, time.fromisoformat(began["at"])).astimezone(UTC)


class _Demo:
    """The making of one demo workshop, in a folder that is moved to its place afterwards."""

    def __init__(
        self, folder: Path, place: Path, now: datetime, new_person: Callable[[], str]
    ) -> None:
        self.now, self.new_id = now, new_person
        self.scripts = scripts_folder()
        self.said = _yaml(self.scripts / "workshop.yaml")
        self.store = Store.create(folder, self.said["name"], now - _SET_UP_BEFORE)
        # Beside it, as a backup must be; of this workshop alone, another demo may have stood here.
        self.backup = place.with_name(f"{place.name}-backup-{self.store.ledger.workshop[:8]}")
        self.received = now - _SET_UP_BEFORE
        self.phones: dict[str, ScriptedPhone] = {}
        self.bundles: dict[str, tuple[Bundle, Camera]] = {}
        self.works: dict[str, Work] = {}  # by plate
        self.stated: dict[str, str] = {}  # the newest statement of a kind

    def make(self) -> None:
        people = {}
        for called, one in self.said["persons"].items():
            person = self.new_id()
            self.store.name_person(person, one["name"], self.received)
            people[called] = {"person": person, **one}
            self.phones[called] = enrolled(self.store, person, one["role"], self.received)
        for called, whose in self.said["second_phones"].items():
            one = people[whose]
            self.phones[called] = enrolled(self.store, one["person"], one["role"], self.received)
        for tool in self.said["tools"]:
            self._register(tool)
        for tell in self._in_order():
            tell()
        (self.store.folder / MARK).write_text(json.dumps(people, ensure_ascii=False))

    def _in_order(self) -> list[Callable[[], None]]:
        """Return what tells each job and each thing that happened in the workshop, oldest first."""
        told: list[tuple[datetime, Callable[[], None]]] = []
        for path in self.scripts.glob("[0-9]*.yaml"):
            story = _yaml(path)
            at = moment(story["began"], self.now)
            told.append((at, partial(self._tell, story, at)))
        for event in self.said["happened"]:
            at = moment(event["began"], self.now)
            told.append((at, partial(self._happen, event, at)))
        return [tell for _, tell in sorted(told, key=lambda one: one[0])]

    def _happen(self, event: Mapping[str, Any], at: datetime) -> None:
        """State what an owner said of the workshop, or back it up."""
        owner = self.phones["owner"]
        owner.clock = at
        for statement in event.get("states", ()):
            ((kind, body),) = statement.items()
            self.stated[kind] = owner.write(kind, self._meant(body, owner)).id
        for follow in event.get("follows", ()):
            words = owner.private("words", follow["words"])
            body = {"of": self.stated[follow["of"]], "how": follow["how"], "words": words}
            self.works[follow["plate"]].write(owner, "recall.followed", body)
            owner.wait(4)
        if "call" in event:
            self._take_call(event["call"], owner)
        self._deliver(owner)
        if event.get("backs_up"):
            self.received = max(self.received, at)
            back_up(self.store, self.backup, self.received)

    def _meant(self, body: Mapping[str, Any], owner: ScriptedPhone) -> dict[str, Any]:
        """
        Return a body with what scripts cannot write. `{days: 14}`: the day so many after it was
        said; `{person: mechanic}` and `{device: mechanic}`: ids; `{name: Ada}`: a private name.
        """
        day = owner.clock.astimezone().date()
        meant: dict[str, Callable[[Any], object]] = {
            "days": lambda days: (day + timedelta(days=days)).isoformat(),
            "person": lambda called: self.phones[called].person,
            "device": lambda called: self.phones[called].key.thumbprint,
            "name": lambda name: owner.private("name", name),
        }
        return {
            field: meant[next(iter(value))](*value.values()) if isinstance(value, dict) else value
            for field, value in body.items()
        }

    def _take_call(self, call: Mapping[str, Any], owner: ScriptedPhone) -> None:
        """Somebody calls, and may say no to what is advised; no job is opened."""
        job, on = self.new_id(), owner.clock.astimezone().date()
        taken = owner.write("enquiry.taken", enquiry(owner, call, on), job=job)
        if "declines" in call:
            owner.wait(5)
            words = owner.private("words", call["declines"]["words"])
            said = {"enquiry": taken.id, "how": call["declines"]["how"], "words": words}
            owner.write("enquiry.declined", said, job=job, after=[taken.id])

    def _register(self, tool: Mapping[str, str]) -> None:
        body = {name: value for name, value in tool.items() if name != "certificate"}
        self.store.ledger.state("tool.registered", body, self.received)
        on: date = (self.now - _CALIBRATED_BEFORE).date()
        calibrated = {
            "tool": tool["tool"],
            "on": on.isoformat(),
            "due": (on + _DUE_AFTER).isoformat(),
            **({"certificate": tool["certificate"]} if "certificate" in tool else {}),
        }
        self.store.ledger.state("tool.calibrated", calibrated, self.received)

    def _bundle(self, name: str) -> tuple[Bundle, Camera]:
        if name not in self.bundles:
            bundle = load(self.scripts / name)
            self._publish(bundle)
            self.bundles[name] = (bundle, Camera(bundle.bundle))
        return self.bundles[name]

    def _publish(self, bundle: Bundle) -> None:
        """By the console, or by the owner's device for what takes a `stop` otherwise."""
        said = bundle.bundle
        if not wants_an_owner(said):
            publish(self.store, bundle, self.received)
            return
        put(self.store, bundle, self.received)
        body = {name: said[name] for name in ("name", "edition", "engine_codes")}
        owner = self.phones["owner"]
        owner.clock = self.received
        owner.write("bundle.published", {"bundle": bundle.sha256, **body})
        deliver(self.store, owner, self.received)

    def _tell(self, story: Mapping[str, Any], began: datetime) -> None:
        bundle, camera = self._bundle(story["procedure"])
        mechanic, owner = self.phones[story["mechanic"]], self.phones["owner"]
        mechanic.clock = began
        photo = camera.on(_seen(story, bundle, began))
        tools, lots = self.said["tools"], story["lots"]
        work = Work(bundle.bundle, self.new_id(), photo, tools=tools, lots=lots)
        self.works[story["vehicle"]["plate"]] = work
        if "call" in story:
            on = mechanic.clock.astimezone().date()
            said = {**story["vehicle"], **story["call"]}
            work.write(mechanic, "enquiry.taken", enquiry(mechanic, said, on))
            mechanic.wait(6)
        work.open(mechanic, bundle.sha256, story["vehicle"])
        teller = Teller(work, self.phones, mechanic, owner, story)
        for line in story["story"]:
            ((verb, how),) = line.items()
            teller.tell(verb, how)
            self._deliver(*self.phones.values())
        self._deliver(*self.phones.values())

    def _deliver(self, *phones: ScriptedPhone) -> None:
        """Bring in what the phones wrote, in the order of their clocks."""
        for phone in sorted(phones, key=lambda one: one.clock):
            if phone.lines:
                self.received = min(
                    self.now, max(self.received, phone.clock + timedelta(seconds=40))
                )
                deliver(self.store, phone, self.received)


def enrolled(store: Store, person: str, role: str, now: datetime) -> ScriptedPhone:
    """Return a scripted phone of a person's, let in on an invitation of its own."""
    until = now + timedelta(minutes=10)
    invited = invite(store, role=role, person=person, until=until, now=now)
    phone = ScriptedPhone(SigningKey.generate(), store.ledger.workshop, person, now, os.urandom)
    said = phone.enrol(invited.invitation, SigningKey.from_seed(invited.secret))
    let_in(store, said.line, now)
    phone.lines.clear()
    return phone


def deliver(store: Store, phone: ScriptedPhone, received: datetime) -> None:
    """Send what a scripted phone holds, photos first, as the store takes it from a real one."""
    kept = store.blobs.put_all(phone.photos)
    store.ledger.keep(kept, received)
    values = [data.decode() for data in phone.private_values]
    receipt = store.ledger.append(phone.lines, values, received=received, offset_ms=0)
    if receipt.refused:
        raise ValueError(f"the demo's entries were refused: {receipt.refused[0]}")
    for sent in (phone.photos, phone.private_values, phone.lines):
        sent.clear()


def _seen(story: Mapping[str, Any], bundle: Bundle, began: datetime) -> Seen:
    """Return what the camera may find on a job."""
    vehicle, interval = story["vehicle"], bundle.bundle["interval"]
    on, km = began.astimezone().date(), int(vehicle["odometer_km"])
    again = due(km, on, Interval(km=interval["km"], months=interval["months"]))
    return Seen(
        on=on,
        odometer_km=km,
        engine_code=vehicle["engine_code"],
        lot=story["lots"].get("belt", ""),
        due=(again.on, again.km) if again.on and again.km else None,
        looks=story.get("looks", {}),
    )


def _yaml(path: Path) -> dict[str, Any]:
    said: dict[str, Any] = yaml.safe_load(path.read_text())
    return said
