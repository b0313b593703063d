"""
The demo: a workshop with people, tools, procedures and jobs in several states.

Everything in it came in the way a phone's entries do: signed by an enrolled device, appended by
the store. What happens is written in `demo_jobs/*.yaml`: `workshop.yaml` says who and what is
there, each other file is the story of one job. Names, parts and vehicles are invented.
"""

import json
import os
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any, Final

import yaml

from twoturns.demo.pictures import Camera
from twoturns.demo.scripted_phone import ScriptedPhone, Work
from twoturns.ledger.keys import SigningKey
from twoturns.procedure.compile.bundle import Bundle, load
from twoturns.store import Store
from twoturns.store.blob_texts import wants_an_owner
from twoturns.store.bundles import publish, put
from twoturns.store.enrolment import let_in
from twoturns.store.errors import NotAWorkshop
from twoturns.store.invite import invite
from twoturns.words import t
from twoturns.words.en.demo import workshop as texts

MARK: Final = "demo.json"  # in the folder, once it is whole: who the demo's people are
_SET_UP_BEFORE: Final = timedelta(days=6)
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
    try:
        _Demo(half, now, new_person).make()
    except BaseException:
        shutil.rmtree(half, ignore_errors=True)  # nothing in it came from anybody
        raise
    if folder.exists():
        folder.rmdir()
    half.rename(folder)
    return Store(folder)


def persons(store: Store) -> dict[str, dict[str, str]]:
    """Return the demo's people: by what the scripts call them, `person`, `role` and `name`."""
    said: dict[str, dict[str, str]] = json.loads((store.folder / MARK).read_text())
    return said


class _Demo:
    """The making of one demo workshop."""

    def __init__(self, folder: Path, now: datetime, new_person: Callable[[], str]) -> None:
        self.now, self.new_id = now, new_person
        self.scripts = scripts_folder()
        self.said = _yaml(self.scripts / "workshop.yaml")
        stories = [_yaml(path) for path in sorted(self.scripts.glob("[0-9]*.yaml"))]
        self.stories = sorted(stories, key=lambda one: -float(one["began_hours_ago"]))
        self.store = Store.create(folder, self.said["name"], now - _SET_UP_BEFORE)
        self.received = now - _SET_UP_BEFORE
        self.phones: dict[str, ScriptedPhone] = {}
        self.bundles: dict[str, tuple[Bundle, Camera]] = {}

    def make(self) -> None:
        people = {}
        for called, one in self.said["persons"].items():
            person = self.new_id()
            self.store.name_person(person, one["name"], self.received)
            people[called] = {"person": person, **one}
            self.phones[called] = enrolled(self.store, person, one["role"], self.received)
        for tool in self.said["tools"]:
            self._register(tool)
        for story in self.stories:
            self._tell(story)
        (self.store.folder / MARK).write_text(json.dumps(people, ensure_ascii=False))

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

    def _tell(self, story: Mapping[str, Any]) -> None:
        bundle, camera = self._bundle(story["procedure"])
        mechanic, owner = self.phones[story["mechanic"]], self.phones["owner"]
        mechanic.clock = self.now - timedelta(hours=float(story["began_hours_ago"]))
        tools, lots = self.said["tools"], story["lots"]
        work = Work(bundle.bundle, self.new_id(), camera.photo, tools=tools, lots=lots)
        work.open(mechanic, bundle.sha256, story["vehicle"])
        teller = _Teller(work, mechanic, owner, story["values"], float(story["minutes_a_step"]))
        for line in story["story"]:
            ((verb, how),) = line.items()
            teller.tell(verb, how)
            self._deliver(mechanic, owner)
        self._deliver(mechanic, owner)

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
    kept = [store.blobs.put(data) for data in phone.photos]
    store.ledger.keep(kept, received)
    values = [data.decode() for data in phone.private_values]
    receipt = store.ledger.append(phone.lines, values, received=received, offset_ms=0)
    if receipt.refused:
        raise ValueError(f"the demo's entries were refused: {receipt.refused[0]}")
    for sent in (phone.photos, phone.private_values, phone.lines):
        sent.clear()


@dataclass
class _Teller:
    """Tells one job's story, line by line: each verb of a script is a method."""

    work: Work
    mechanic: ScriptedPhone
    owner: ScriptedPhone
    values: Mapping[str, Mapping[str, str]]
    minutes: float

    def tell(self, verb: str, how: Mapping[str, Any]) -> None:
        verbs: dict[str, Callable[..., None]] = {
            "run": self._run,
            "do": self._do,
            "fail": self._fail,
            "note": self._note,
            "wait": self._wait,
            "question": self._question,
            "gap": self._gap,
            "close": self._close,
            "approve": self._approve,
        }
        verbs[verb](**how)

    def _run(self, until: str | None = None) -> None:
        self.work.run(self.mechanic, until=until, values=self.values, minutes=self.minutes)

    def _do(self, step: str, **how: Any) -> None:
        self.work.do(self.mechanic, step, minutes=self.minutes, **how)

    def _fail(self, step: str, failure: str, words: str, values: Mapping[str, str]) -> None:
        self.work.fail(self.mechanic, step, failure, values=values, words=words)

    def _note(self, step: str, words: str) -> None:
        body = {"step": step, "text": self.mechanic.private("words", words)}
        self.work.write(self.mechanic, "note.added", body)

    def _wait(self, minutes: float) -> None:
        self.mechanic.wait(minutes)

    def _close(self, end: str, because: str | None = None) -> None:
        body: dict[str, Any] = {"end": end}
        if because is not None:
            body["because"] = self.mechanic.private("words", because)
        self.work.write(self.mechanic, "job.closed", body)

    def _question(self, step: str, words: str) -> None:
        question = self.owner.private("words", words)
        self._owner_writes("review.returned", {"step": step, "question": question})

    def _gap(self, step: str, because: str) -> None:
        said = self.owner.private("words", because)
        self._owner_writes("review.gap", {"step": step, "because": said})

    def _approve(self) -> None:
        self._owner_writes("review.approved", {})

    def _owner_writes(self, kind: str, body: Mapping[str, Any]) -> None:
        """The owner hears of it a little later, and the mechanic goes on after that."""
        self.owner.clock = self.mechanic.clock + timedelta(minutes=3)
        self.work.write(self.owner, kind, body)
        self.mechanic.clock = self.owner.clock + timedelta(minutes=1)


def _yaml(path: Path) -> dict[str, Any]:
    said: dict[str, Any] = yaml.safe_load(path.read_text())
    return said
