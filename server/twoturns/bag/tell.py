"""
An account put into words, with what the bag shows beside it: labels, names, sentences.

Nothing is judged here: whatever is told stands in the account.
"""

from base64 import b64encode
from collections.abc import Iterable, Iterator
from itertools import groupby

from twoturns.bag import clocks
from twoturns.bag.account import Account, Device, Oddity, Step, StepState
from twoturns.bag.contents import Contents, why_hidden
from twoturns.bag.evidence import Disclosure
from twoturns.bag.readings import measure
from twoturns.bag.recompute import UNSEEN
from twoturns.bag.sentences import Words, exception, said_anew
from twoturns.bag.told import Line, PhaseAccount, Picture, Signature, StepAccount, Told
from twoturns.ledger.entry import CONSOLE, Entry

_QUIET = ("reading.taken", "photo.taken")  # shown as a measure, as a picture


def tell(account: Account, contents: Contents) -> Told:
    """Return an account in words; the contents are those that it is of."""
    return _Teller(account, contents).told()


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
    def __init__(self, account: Account, contents: Contents) -> None:
        self.account, self.contents = account, contents
        self.words = Words(contents)
        self.records = {one.entry.id: (index, one) for index, one in contents.records}
        self.placed = {one.entry: one for one in account.entries}
        self.readings = {one.entry: one for one in account.readings}
        self.named = {one.person: one.named for one in account.persons}
        self.states = {one.step: one.state for one in account.steps}

    def told(self) -> Told:
        account, bundle = self.account, self.contents.bundle
        root = bytes.fromhex(account.root)
        return Told(
            job=account.job,
            workshop_name=account.workshop_name,
            fingerprint=account.workshop,
            head=f"{account.size} {account.root}",
            head_code=head_code(account.size, root),
            title=", ".join((bundle["vehicle"], *self._plate())),
            facts=tuple(self._facts()),
            state=self._state(),
            exceptions=tuple(map(self._exception, account.exceptions)),
            phases=tuple(self._phases()),
            about=tuple(
                self._line(one.entry, self.words.says(self._entry(one.entry)))
                for one in account.entries
                if one.step not in self.words.steps
            ),
            parts=tuple(self._parts()),
            tools=tuple(self._tools()),
            people=tuple(map(self._device, account.devices)),
            clocks=tuple(
                (f"Device {one.device[:8]}", clocks.said_of(one.clock)) for one in account.devices
            ),
            hidden=tuple(self._hidden()),
            unproven=tuple(self._unproven()),
        )

    def _entry(self, name: str) -> Entry:
        return self.records[name][1].entry

    # The whole job.

    def _plate(self) -> list[str]:
        plate = self._entry(self.account.opened).body["plate"]["blob"]
        return [self.contents.said(plate)] if plate in self.contents.names else []

    def _facts(self) -> Iterator[tuple[str, str]]:
        bundle, (_, opened) = self.contents.bundle, self.records[self.account.opened]
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
        said = (self._entry(name).body["because"] for name in self.account.withdrawn_by)
        return "".join(f"; withdrawn: {because}" for because in said)

    def _state(self) -> str:
        account, closed = self.account, self.account.closed
        said = ["Open."]
        if closed:
            said = [f"Closed as {self.words.end(closed.end)}{', then changed' * closed.changed}."]
        said.append(
            {
                "approved": "Approved by the owner.",
                "changed": "Approved by the owner, then changed.",
                None: "Not approved.",
            }[account.approved]
        )
        must = [self.states[one["id"]] for one in self.contents.bundle["steps"] if one["must"]]
        said.append(f"{must.count('done')} of {len(must)} steps hold.")
        if account.tools_out:
            said.append(f"Tools still out: {', '.join(map(self.words.tool, account.tools_out))}.")
        if account.questions:
            said.append(f"Questions without an answer: {len(account.questions)}.")
        return " ".join(said)

    # Single entries.

    def _line(self, name: str, what: str) -> Line:
        index, record = self.records[name]
        return Line(
            entry=name,
            index=index,
            what=what,
            who=self._who(record.entry),
            at=record.entry.at,
            received=record.received,
            standing=self.placed[name].standing,
        )

    def _who(self, entry: Entry) -> str:
        device = self.contents.roster.device(entry.device)
        role = device.role if device else "unknown"
        return f"{self._name(entry.person)} ({role})"

    def _name(self, person: str) -> str:
        """Return a person's name where it is shown, else the start of the opaque id."""
        if person == CONSOLE:
            return "the workshop"
        statement = self.named.get(person)
        if statement is not None:
            name = self._entry(statement).body["name"]["blob"]
            if name in self.contents.names:
                return self.contents.said(name)
        return f"person {person[-6:]}"

    def _exception(self, odd: Oddity) -> Line:
        entry = self._entry(odd.entry)
        says, step = self.words.says(entry), self.placed[odd.entry].step
        where = f"{self.words.step(step)}: " if step else ""
        if odd.code == "computed-anew":
            anew = self.readings[odd.entry]
            what = f"{says}: {said_anew(anew.anew or '', anew.found)}"
        elif odd.code == "shown-before":
            what = f"{says}: the very same {self._shown_before(entry, odd.other or '')}"
        elif odd.code == "lot-differs":
            lot = f"lot {odd.name}" if odd.name else "no lot"
            what = f"{says}: the code that was read names {lot}"
        elif odd.code in ("lot-recalled", "recall-borne", "procedure-withdrawn"):
            # The whole job's, not the step's: it stands first.
            where, what = "", f"{says}: {self._against(odd)}"
        else:
            what = f"{self._odd(odd, step)}{says}"
        return self._line(odd.entry, f"{where}{what}")

    def _against(self, odd: Oddity) -> str:
        said = self._entry(odd.other or "").body
        if odd.code == "procedure-withdrawn":
            return f"its procedure was withdrawn: {said['because']}"
        taken = " The owner took it over." if odd.code == "recall-borne" else ""
        return f"lot {said['lot']} was recalled: {said['because'].rstrip('.')}.{taken}"

    def _shown_before(self, entry: Entry, other: str) -> str:
        what = "photo" if entry.kind == "photo.taken" else "recording"
        index, record = self.records[other]
        of = "" if record.entry.job == self.account.job else " of another job"
        return f"{what} stands in record {index}{of}"

    def _odd(self, odd: Oddity, step: str | None) -> str:
        said = exception(odd.code)
        if said is None:
            return ""
        if odd.rule is not None:
            said += f" ({self.words.rule(odd.rule)})"
        elif odd.name is not None and step is not None:
            said += f" ({self.words.label(step, odd.name)})"
        if odd.other is not None:
            said += f" (entry {odd.other[:8]})"
        return f"{said} \u2013 "

    # The steps.

    def _phases(self) -> Iterator[PhaseAccount]:
        told = {one.step: one for one in self.account.steps}
        for phase in self.contents.bundle["phases"]:
            here = [one for one in self.contents.bundle["steps"] if one["phase"] == phase["id"]]
            steps = [self._step(one, told[one["id"]]) for one in here]
            shown = [one for one in steps if one.must or one.lines or one.measures or one.pictures]
            yield PhaseAccount(phase["name"], tuple(shown))

    def _step(self, step: dict[str, object], told: Step) -> StepAccount:
        here = [self._entry(name) for name in told.entries]
        return StepAccount(
            number=str(step["number"]),
            title=str(step["title"]),
            state=told.state,
            must=bool(step["must"]),
            undo=bool(step["undo"]),
            lines=tuple(
                self._line(one.id, self.words.says(one))
                for one in here
                if one.kind not in _QUIET and not self.words.is_signature(one)
            ),
            measures=tuple(
                measure(one, self.readings[one.id], self.words)
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

    # Parts, tools, people.

    def _parts(self) -> Iterator[tuple[str, str]]:
        for one in self.account.parts:
            fitted = self._entry(one.entry)
            because = [self._entry(name).body["because"] for name in one.recalled_by]
            back = f". This lot was recalled: {because[-1]}" if because else ""
            yield self.words.part(fitted.body["part"]), f"{self.words.says(fitted)}{back}"

    def _tools(self) -> Iterator[tuple[str, str]]:
        for one in self.account.tools:
            registered = self._entry(one.registered) if one.registered else None
            said = [registered.body["label"] if registered else "not registered"]
            checks = [self._entry(name).body for name in one.calibrated]
            said += [f"calibrated on {check['on']}, due {check['due']}" for check in checks]
            yield one.tool, "; ".join(said)

    def _device(self, device: Device) -> tuple[str, str]:
        """Name a device of the job: its role, the persons its entries name, its enrolment."""
        persons = dict.fromkeys(map(self._name, device.persons))
        said = f"{device.role or 'unknown'}, said to be {', '.join(persons)}"
        if device.enrolled_at is not None:
            said += f"; enrolled by record {device.enrolled_at}"
        if device.revoked_at is not None:
            said += f", revoked by record {device.revoked_at}"
        return f"Device {device.device[:8]}", said

    # What is not there.

    def _hidden(self) -> Iterator[tuple[str, str]]:
        for one in self.account.blobs:
            if one.state is not None and one.state != "disclosed":
                why = why_hidden(self.contents.disclosures[one.blob])
                yield f"{', '.join(one.uses)} ({one.blob[:8]})", why

    def _unproven(self) -> Iterator[str]:
        steps = self.contents.bundle["steps"]
        must = [(one["number"], self.states[one["id"]]) for one in steps if one["must"]]
        if any(state != "done" for _, state in must):
            yield f"That these steps were done as they should: {_not_done(must)}."
        if not self.account.is_published:
            yield (
                "That the workshop ever published the procedure of this job: no statement in the "
                "bag says so, and by a procedure of one's own making anything can be right."
            )
        if self.account.unread:
            named = ", ".join(one[:8] for one in self.account.unread)
            count = len(self.account.unread)
            yield f"What {count} entries say that are not judged, newer than this program: {named}."
        if self.account.lacking:
            named = ", ".join(one[:8] for one in self.account.lacking)
            count = len(self.account.lacking)
            yield f"What stands in {count} entries that others follow, {self._where()}: {named}."
        if self.account.lacking_numbers:
            numbers = (f"{one.seq} of {one.device[:8]}" for one in self.account.lacking_numbers)
            said = ", ".join(numbers)
            yield f"What devices wrote before entries of the job, {self._where()}: number {said}."
        unseen = [
            self._entry(one.entry).body for one in self.account.readings if one.anew in UNSEEN
        ]
        if unseen:
            named = ", ".join(self.words.label(one["step"], one["name"]) for one in unseen)
            yield f"What instruments measured, where what they saw is not in this bag: {named}."
        yield from self._copies(self.contents.disclosures.values())
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

    def _where(self) -> str:
        return "lacking in the workshop" if self.contents.is_whole else "not here"

    def _copies(self, disclosures: Iterable[Disclosure]) -> Iterator[str]:
        copies = sum(one.state == "copy" for one in disclosures)
        if copies:
            yield (
                f"What {copies} photos showed when they were taken: they are copies without "
                "position, and their bytes are not those that were signed."
            )

    def _what_may_lack(self) -> Iterator[str]:
        size = self.account.size
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
