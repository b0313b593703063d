"""
A job as its entries tell it: what holds, what was measured, what the owner must look at.

The state comes from `procedure.fold` alone; here it is only put into words.
"""

from base64 import b64encode
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from typing import Any, Final

from twoturns.ledger.bag import clocks
from twoturns.ledger.bag.against import stated_against
from twoturns.ledger.bag.anew import COMPUTED, Anew, reading_anew
from twoturns.ledger.bag.contents import Contents, why_hidden
from twoturns.ledger.bag.measures import Corrections, measure
from twoturns.ledger.bag.telling import (
    Account,
    Line,
    PhaseAccount,
    Picture,
    Signature,
    StepAccount,
    StepState,
)
from twoturns.ledger.bag.twice import shown_before
from twoturns.ledger.bag.words import Words, exception
from twoturns.ledger.entry import CONSOLE, Entry
from twoturns.ledger.fields import SHA256, is_formed
from twoturns.ledger.record import Record
from twoturns.procedure.fold import LogEntry, fold
from twoturns.procedure.machine import Machine
from twoturns.procedure.state import Flag
from twoturns.trade.gs1 import read_label
from twoturns.trade.spelling import lot_key, tool_key

_MOST_ANEW: Final = 100  # a job has a dozen; a thousand would hold up who asks for the bag
_QUIET: Final = ("reading.taken", "photo.taken")  # shown as a measure, as a picture


def tell(contents: Contents) -> Account:
    """
    Return the account of a bag's job.

    Raises:
        ValueError: If no entry of the bag opens the job.
    """
    return _Teller(contents).account()


def head_code(size: int, root: bytes) -> str:
    """
    Return the short head of a ledger, as it stands on paper: its size, and how the root begins
    in the checkpoint's own base64.

    >>> head_code(1042, bytes.fromhex("2248b83982609d3df54252542ead842018a36e96888957d151091e7711"))
    '1042 Iki4 OYJg nT31'
    """
    text = b64encode(root).decode()
    return " ".join((str(size), text[:4], text[4:8], text[8:12]))


class _Teller:
    def __init__(self, contents: Contents) -> None:
        self.contents = contents
        self.words = Words(contents)
        self.entries = {one.entry.id: one.entry for _, one in contents.of_job}
        self.places = {one.entry.id: (index, one) for index, one in contents.of_job}
        opened = [one for _, one in contents.of_job if one.entry.kind == "job.opened"]
        if not opened:
            raise ValueError("no entry in the bag opens the job")
        self.opened = opened[0]
        self.job = fold(
            Machine.from_bundle(contents.bundle),
            [self._logged(one.entry) for _, one in contents.of_job],
        )
        self.corrections = Corrections(list(self.entries.values()))
        self.anew = dict(self._computed_anew())

    def _logged(self, entry: Entry) -> LogEntry:
        return LogEntry(
            id=entry.id,
            after=entry.after,
            kind=entry.kind,
            body=entry.body,
            standing=self.contents.standings[entry.id],
            person=entry.person,
            device=entry.device,
        )

    def account(self) -> Account:
        contents = self.contents
        bundle = contents.bundle
        return Account(
            job=contents.job,
            workshop_name=workshop_name(contents),
            fingerprint=contents.workshop,
            head=f"{contents.checkpoint.size} {contents.checkpoint.root.hex()}",
            head_code=head_code(contents.checkpoint.size, contents.checkpoint.root),
            title=", ".join((bundle["vehicle"], *self._plate())),
            facts=tuple(self._facts()),
            state=self._state(),
            exceptions=tuple(self._exceptions()),
            phases=tuple(self._phases()),
            about=tuple(
                self._line(one.entry, self.words.says(one.entry))
                for _, one in contents.of_job
                if self._step_of(one.entry) not in self.words.steps
            ),
            parts=tuple(self._parts()),
            tools=tuple(self._tools()),
            people=tuple(self._people()),
            clocks=tuple(self._clocks()),
            hidden=tuple(self._hidden()),
            unproven=tuple(self._unproven()),
        )

    def _plate(self) -> list[str]:
        plate = self.opened.entry.body["plate"]["blob"]
        return [self.contents.said(plate)] if plate in self.contents.names else []

    def _facts(self) -> Iterator[tuple[str, str]]:
        bundle, opened = self.contents.bundle, self.opened
        body = opened.entry.body
        yield "VIN", self.contents.said(body["vin"]["blob"])
        yield "Plate", self.contents.said(body["plate"]["blob"])
        if "customer" in body:
            yield "Customer", self.contents.said(body["customer"]["blob"])
        yield "Engine code", body["engine_code"]
        yield "Odometer", f"{body['odometer_km']} km"
        yield "Bay", body["bay"]
        at, received = clocks.short(opened.entry.at), clocks.short(opened.received)
        yield "Opened", f"{at}, received {received} UTC"
        yield "Procedure", f"{bundle['name']}, edition {bundle['edition']}{self._withdrawn()}"
        yield "Its hash", body["bundle"]

    def _withdrawn(self) -> str:
        """Say why the workshop withdrew the procedure, whenever it did; nothing if it did not."""
        used = self.opened.entry.body["bundle"]
        said = (one.body for one in self._stated("bundle.withdrawn"))
        return "".join(f"; withdrawn: {one['because']}" for one in said if one["bundle"] == used)

    def _is_published(self) -> bool:
        used = self.opened.entry.body["bundle"]
        return any(one.body["bundle"] == used for one in self._stated("bundle.published"))

    # Where an entry belongs, and how it reads.

    def _step_of(self, entry: Entry) -> str | None:
        """Return the step an entry speaks of, through the reading or question it answers."""
        if entry.kind == "reading.corrected":
            spoken_of = self.entries.get(self.corrections.reading(entry.id))
        elif entry.kind == "review.answered":
            spoken_of = self.entries.get(entry.body["question"])
        else:
            spoken_of = entry
        return spoken_of.body.get("step") if spoken_of else None

    def _line(self, entry: Entry, what: str) -> Line:
        index, record = self.places[entry.id]
        return Line(
            entry=entry.id,
            index=index,
            what=what,
            who=self._who(entry),
            at=entry.at,
            received=record.received,
            standing=self.contents.standings[entry.id],
        )

    def _who(self, entry: Entry) -> str:
        device = self.contents.roster.device(entry.device)
        role = device.role if device else "unknown"
        return f"{self._name(entry.person)} ({role})"

    def _name(self, person: str) -> str:
        """Return a person's name where it is shown, else the start of the opaque id."""
        named = [
            one.body["name"]["blob"]
            for one in self._stated("person.named")
            if one.body["person"] == person
        ]
        if person == CONSOLE:
            return "the workshop"
        if named and named[-1] in self.contents.names:
            return self.contents.said(named[-1])
        return f"person {person[-6:]}"

    # The whole job.

    def _state(self) -> str:
        closed, approved = self.job.closed, self.job.approved
        said = ["Open."]
        if closed:
            said = [f"Closed as {self.words.end(closed.end)}{', then changed' * closed.changed}."]
        said.append(
            {
                "approved": "Approved by the owner.",
                "changed": "Approved by the owner, then changed.",
                None: "Not approved.",
            }[approved]
        )
        held = sum(state == "done" for one, state in self._states() if one["must"])
        must = sum(one["must"] for one in self.contents.bundle["steps"])
        said.append(f"{held} of {must} steps hold.")
        if self.job.tools_out:
            said.append(f"Tools still out: {', '.join(map(self.words.tool, self.job.tools_out))}.")
        if self.job.questions:
            said.append(f"Questions without an answer: {len(self.job.questions)}.")
        return " ".join(said)

    def _exceptions(self) -> Iterator[Line]:
        log = [self._logged(one) for one in self.entries.values()]
        recalls, withdrawals = self._stated("lot.recalled"), self._stated("bundle.withdrawn")
        for name, says in stated_against(log, recalls, withdrawals):
            yield self._line(self.entries[name], f"{self.words.says(self.entries[name])}: {says}")
        for flag in self.job.exceptions:
            entry = self.entries[flag.entry]
            step = self._step_of(entry)
            where = f"{self.words.step(step)}: " if step else ""
            yield self._line(entry, f"{where}{self._oddity(flag, step)}{self.words.says(entry)}")
        for name, anew in self.anew.items():
            if anew.differs:
                entry = self.entries[name]
                where = f"{self.words.step(entry.body['step'])}: "
                yield self._line(entry, f"{where}{self.words.says(entry)}: {anew.says}")
        yield from self._shown_before()
        yield from self._labels_that_differ()

    def _labels_that_differ(self) -> Iterator[Line]:
        """A lot is told as the camera's only where the code that it read names that lot."""
        for entry in self.entries.values():
            if entry.kind == "part.fitted" and "code" in entry.body:
                lot = read_label(entry.body["code"]).lot
                if lot is None or lot_key(lot) != lot_key(entry.body["lot"]):
                    where = f"{self.words.step(entry.body['step'])}: {self.words.says(entry)}"
                    says = f"lot {lot}" if lot else "no lot"
                    yield self._line(entry, f"{where}: the code that was read names {says}")

    def _shown_before(self) -> Iterator[Line]:
        all_here = {one.entry.id: index for index, one in self.contents.records}
        for name, other in shown_before(one.entry for _, one in self.contents.records).items():
            if name in self.entries:
                entry = self.entries[name]
                what = "photo" if entry.kind == "photo.taken" else "recording"
                of = "" if other.job == self.contents.job else " of another job"
                where = f"{self.words.step(entry.body['step'])}: {self.words.says(entry)}"
                says = f"the very same {what} stands in record {all_here[other.id]}{of}"
                yield self._line(entry, f"{where}: {says}")

    def _computed_anew(self) -> Iterator[tuple[str, Anew]]:
        left = _MOST_ANEW
        for one in self.entries.values():
            if one.kind == "reading.taken":
                asked = self.words.proof(one.body["step"], one.body["name"])
                if asked:
                    teeth = self.words.wheel_teeth(asked.get("wheel"))
                    photo = self.entries.get(one.body.get("photo", ""))
                    blob = photo.body.get("blob") if photo else None
                    asked = {**asked, "wheel_teeth": teeth, "photo_blob": blob}
                anew = reading_anew(one.body, asked, self.contents) if left else _not_anew(one)
                if anew is not None:
                    left -= 1 if left else 0
                    yield one.id, anew

    def _oddity(self, flag: Flag, step: str | None) -> str:
        said = exception(flag.code)
        if said is None:
            return ""
        if flag.rule is not None:
            said += f" ({self.words.rule(self.contents.bundle['rules'][flag.rule]['id'])})"
        elif flag.name is not None and step is not None:
            said += f" ({self.words.label(step, flag.name)})"
        if flag.other is not None:
            said += f" (entry {flag.other[:8]})"
        return f"{said} \u2013 "

    def _phases(self) -> Iterator[PhaseAccount]:
        states = {one["id"]: state for one, state in self._states()}
        for phase in self.contents.bundle["phases"]:
            steps = [one for one in self.contents.bundle["steps"] if one["phase"] == phase["id"]]
            told = [self._step(one, states[one["id"]]) for one in steps]
            shown = [one for one in told if one.must or one.lines or one.measures or one.pictures]
            yield PhaseAccount(phase["name"], tuple(shown))

    # One step.

    def _step(self, step: dict[str, Any], state: StepState) -> StepAccount:
        here = [one for one in self.entries.values() if self._step_of(one) == step["id"]]
        return StepAccount(
            number=step["number"],
            title=step["title"],
            state=state,
            must=step["must"],
            undo=step["undo"],
            lines=tuple(
                self._line(one, self.words.says(one))
                for one in here
                if one.kind not in _QUIET and not self.words.is_signature(one)
            ),
            measures=tuple(
                measure(one, self.corrections.values(one.id), self.words, self.anew.get(one.id))
                for one in here
                if one.kind == "reading.taken"
            ),
            pictures=tuple(self._picture(one) for one in here if one.kind == "photo.taken"),
            signatures=tuple(self._signature(one) for one in here if self.words.is_signature(one)),
        )

    def _picture(self, photo: Entry) -> Picture:
        body = photo.body
        disclosure = self.contents.disclosures.get(body["blob"])
        shown = why_hidden(disclosure) if disclosure else "not in this bag"
        if shown == "shown":
            shown = f"original, {body['size']} bytes, hash {body['blob'][:12]}"
        how = "taken in the app" if body["how"] == "live" else "picked from the phone's pictures"
        return Picture(
            label=self.words.label(body["step"], body["name"]),
            blob=body["blob"],
            remark=f"{shown}; {how}, {self._who(photo)}, {clocks.short(photo.at)} UTC",
        )

    def _signature(self, note: Entry) -> Signature:
        blob = note.body["text"]["blob"]
        is_shown = blob in self.contents.names
        hidden = "" if is_shown else f"{self.contents.said(blob)} "
        return Signature(
            label=self.words.label(note.body["step"], note.body["name"]),
            path=self.contents.said(blob) if is_shown else None,
            remark=f"{hidden}{self._who(note)}, {clocks.short(note.at)} UTC",
        )

    # Parts, tools, people, clocks.

    def _stated(self, kind: str) -> Iterator[Entry]:
        """Yield the workshop's statements of a kind, but none by who might not make it."""
        for index, one in self.contents.records:
            if one.entry.kind == kind and self.contents.roster.has_right(one.entry, index):
                yield one.entry

    def _parts(self) -> Iterator[tuple[str, str]]:
        stated = self._stated("lot.recalled")
        recalled = {lot_key(one.body["lot"]): one.body["because"] for one in stated}
        for one in self.entries.values():
            if one.kind == "part.fitted":
                lot = lot_key(one.body["lot"])
                back = f". This lot was recalled: {recalled[lot]}" if lot in recalled else ""
                yield self.words.part(one.body["part"]), f"{self.words.says(one)}{back}"

    def _tools(self) -> Iterator[tuple[str, str]]:
        read = (one.body for one in self.entries.values() if one.kind == "reading.taken")
        used = {body["tool"] for body in read if "tool" in body}
        registered = self._stated("tool.registered")
        labels = {tool_key(one.body["tool"]): one.body["label"] for one in registered}
        for tool in sorted(used):
            said = [labels.get(tool_key(tool), "not registered")]
            said += [
                f"calibrated on {one.body['on']}, due {one.body['due']}"
                for one in self._stated("tool.calibrated")
                if tool_key(one.body["tool"]) == tool_key(tool)
            ]
            yield tool, "; ".join(said)

    def _people(self) -> Iterator[tuple[str, str]]:
        """Name each device of the job: its role, the persons its entries name, its enrolment."""
        for device, records in self._by_device().items():
            known = self.contents.roster.device(device)
            persons = dict.fromkeys(self._name(one.entry.person) for one in records)
            said = f"{known.role if known else 'unknown'}, said to be {', '.join(persons)}"
            if known:
                said += f"; enrolled by record {known.enrolled_at}"
            if known and known.revoked_at is not None:
                said += f", revoked by record {known.revoked_at}"
            yield f"Device {device[:8]}", said

    def _by_device(self) -> dict[str, list[Record]]:
        devices: dict[str, list[Record]] = {}
        for _, one in self.contents.of_job:
            devices.setdefault(one.entry.device, []).append(one)
        return devices

    def _clocks(self) -> Iterator[tuple[str, str]]:
        for device, records in self._by_device().items():
            yield f"Device {device[:8]}", clocks.of_device(records)

    # What is not there.

    def _hidden(self) -> Iterator[tuple[str, str]]:
        for blob, uses in uses_of_blobs(self.entries.values()).items():
            disclosure = self.contents.disclosures.get(blob)
            if disclosure and disclosure.state != "disclosed":
                yield f"{', '.join(uses)} ({blob[:8]})", why_hidden(disclosure)

    def _unproven(self) -> Iterator[str]:
        must = [(one["number"], state) for one, state in self._states() if one["must"]]
        if any(state != "done" for _, state in must):
            yield f"That these steps were done as they should: {_not_done(must)}."
        if not self._is_published():
            yield (
                "That the workshop ever published the procedure of this job: no statement in the "
                "bag says so, and by a procedure of one's own making anything can be right."
            )
        missing = {
            before
            for one in self.entries.values()
            for before in one.after
            if before not in self.entries
        }
        if missing:
            named = ", ".join(one[:8] for one in sorted(missing))
            where = "lacking in the workshop" if self.contents.is_whole else "not here"
            yield f"What stands in {len(missing)} entries that others follow, {where}: {named}."
        unseen = [self.entries[name] for name, anew in self.anew.items() if anew.is_unseen]
        if unseen:
            named = ", ".join(
                self.words.label(one.body["step"], one.body["name"]) for one in unseen
            )
            yield f"What instruments measured, where what they saw is not in this bag: {named}."
        copies = sum(one.state == "copy" for one in self.contents.disclosures.values())
        if copies:
            yield (
                f"What {copies} photos showed when they were taken: they are copies without "
                "position, and their bytes are not those that were signed."
            )
        yield (
            "When something was done. Until it was received only the device's own clock says so: "
            "the order is sure, the hour is not."
        )
        yield "Who held the device. A key was used; whose hand it was is a person's word."
        yield "That it was so. The bag shows what was asserted, and that nobody changed it since."
        yield from self._what_may_lack()
        yield (
            "That everyone is shown the same ledger. Compare its head with one on paper, or ask "
            "the workshop how the ledger grew from a checkpoint kept before."
        )

    def _what_may_lack(self) -> Iterator[str]:
        size = self.contents.checkpoint.size
        if self.contents.is_whole:
            yield (
                "What never reached the workshop, or came to it later: all that it held of the job "
                f"in the first {size} records of its ledger is here, and no more can be shown."
            )
            return
        yield (
            "That nothing of the job was left out, or came later: the bag has no head of the job. "
            f"It was made of the first {size} records of the ledger, by who exported it."
        )
        yield (
            "That no statement of the workshop was left out that speaks against this: a device "
            "revoked, a lot recalled, a procedure withdrawn, a second entry under one number."
        )

    def _states(self) -> Iterator[tuple[dict[str, Any], StepState]]:
        return zip(self.contents.bundle["steps"], self.job.steps, strict=True)


def _not_anew(reading: Entry) -> Anew | None:
    if reading.body.get("by") not in COMPUTED:
        return None
    says = f"not computed anew: {_MOST_ANEW} readings of the job were, before it"
    return Anew(says, differs=True)


def _not_done(steps: list[tuple[str, StepState]]) -> str:
    """
    List the steps that do not hold, runs of them shortened.

    >>> _not_done([("1", "todo"), ("2", "todo"), ("3", "todo"), ("4", "done"), ("5", "waived")])
    '1 to 3, 5'
    """
    runs = []
    for holds, run in groupby(steps, key=lambda one: one[1] == "done"):
        numbers = [number for number, _ in run]
        if not holds:
            is_short = len(numbers) < 3
            runs.append(", ".join(numbers) if is_short else f"{numbers[0]} to {numbers[-1]}")
    return ", ".join(runs)


def workshop_name(contents: Contents) -> str:
    """Return the name that came with the workshop's current key."""
    current = contents.roster.workshop_key
    return next(
        (
            one.entry.body["name"]
            for _, one in contents.records
            if one.entry.kind == "workshop.keyed" and one.entry.body["key"] == current
        ),
        "a workshop without a key",
    )


def uses_of_blobs(entries: Iterable[Entry]) -> dict[str, list[str]]:
    """Return every blob that entries name, and in what part of which kind of entry."""
    uses: dict[str, list[str]] = {}
    for one in entries:
        for where, blob in _blobs_in(one.wire_body):
            said = f"{one.wire_kind} {where}"
            if said not in uses.setdefault(blob, []):
                uses[blob].append(said)
    return uses


def _blobs_in(body: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for name, value in body.items():
        if name == "blob" and is_formed(value, SHA256):
            yield name, value
        elif isinstance(value, Mapping) and value.keys() == {"blob"}:
            yield from ((name, blob) for _, blob in _blobs_in(value))
        elif isinstance(value, list):
            for each in (one for one in value if isinstance(one, Mapping)):
                yield from _blobs_in(each)
