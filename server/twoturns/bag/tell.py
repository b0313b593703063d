"""
An account put into words, with what the bag shows beside it: labels, names, sentences.

Nothing is judged here: whatever is told stands in the account.
"""

from base64 import b64encode
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from typing import Any, Final

from twoturns.bag import clocks
from twoturns.bag.account import Account, Device, Oddity, Step, StepState
from twoturns.bag.contents import Contents, why_hidden
from twoturns.bag.evidence import Disclosure
from twoturns.bag.readings import measure
from twoturns.bag.recompute import UNSEEN
from twoturns.bag.sentences import Words, distance, flagged, said_anew
from twoturns.bag.told import Line, Paper, PhaseAccount, Picture, Signature, StepAccount, Told
from twoturns.ledger.entry import CONSOLE, Entry
from twoturns.ledger.instants import instant
from twoturns.procedure import shape
from twoturns.procedure.machine.found_out import check_of
from twoturns.words import t
from twoturns.words.en.bag import tell as words
from twoturns.words.en.work import flags
from twoturns.words.en.work import state as work

_AGAINST = ("lot-recalled", "recall-borne", "recall-followed", "procedure-withdrawn")
_QUIET = ("reading.taken", "photo.taken")  # shown as a measure, as a picture
_CERTIFIED: Final = ("tool.calibrated", "tool.checked")  # may name a certificate


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


def _is_by_word(rule: shape.Rule) -> bool:
    return "instead" in rule


def taken_otherwise(rule: shape.Rule) -> tuple[str, str]:
    """Say a maker's word: what the machine asks for and no longer asks for, then its own words."""
    word = rule["instead"]
    whose = word.get("whose", "maker")
    said = t(
        words.MAKERS_WORD,
        whose=whose,
        says=word["says"],
        why=word["why"],
        holds=", ".join(word["holds"]),
        is_less=bool(word["gone"]),
        gone=", ".join(word["gone"]),
        never=rule["never"],
        house=word["never"],
        document=word["source"]["document"],
        edition=word["source"]["edition"],
        page=word["source"]["page"],
        date=word["source"]["date"],
    )
    return t(words.OTHERWISE, whose=whose), said


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
            title=self._title(),
            facts=tuple(self._facts()),
            state=self._state(),
            exceptions=tuple(map(self._exception, account.exceptions)),
            phases=tuple(self._phases()),
            about=tuple(
                self._line(one.entry, self.words.says(self._entry(one.entry)))
                for one in account.entries
                if one.step not in self.words.steps
            ),
            cautions=tuple(bundle["cautions"]),
            parts=tuple(self._parts()),
            tools=tuple(self._tools()),
            people=tuple(map(self._device, account.devices)),
            papers=tuple(self._papers()),
            clocks=tuple(
                (t(words.DEVICE, device=one.device[:8]), clocks.said_of(one.clock))
                for one in account.devices
            ),
            hidden=tuple(self._hidden()),
            unproven=tuple(self._unproven()),
        )

    def _entry(self, name: str) -> Entry:
        return self.records[name][1].entry

    # The whole job.

    def _title(self) -> str:
        plate = self._entry(self.account.opened).body["plate"]["blob"]
        return t(
            words.TITLE,
            vehicle=self.contents.bundle["vehicle"],
            shown=plate in self.contents.names,
            plate=self.contents.said(plate),
        )

    def _facts(self) -> Iterator[tuple[str, str]]:
        _, opened = self.records[self.account.opened]
        body = opened.entry.body
        yield t(words.VIN), self.contents.said(body["vin"]["blob"])
        yield t(words.PLATE), self.contents.said(body["plate"]["blob"])
        if "customer" in body:
            yield t(words.CUSTOMER), self.contents.said(body["customer"]["blob"])
        if "phone" in body:
            yield t(words.TELEPHONE), self.contents.said(body["phone"]["blob"])
        yield t(words.ENGINE_CODE), body["engine_code"]
        yield t(words.ODOMETER), distance(body["odometer_km"], body.get("odometer_unit"))
        yield t(words.BAY), body["bay"]
        at, received = instant(opened.entry.at), instant(opened.received)
        yield t(words.OPENED), t(words.OPENED_AT, at=at, received=received)
        yield t(words.PROCEDURE), self._procedure()
        yield t(words.ITS_HASH), body["bundle"]
        yield from map(taken_otherwise, filter(_is_by_word, self.contents.bundle["rules"]))

    def _procedure(self) -> str:
        bundle = self.contents.bundle
        because = [self._entry(name).body["because"] for name in self.account.withdrawn_by]
        return t(
            words.PROCEDURE_SAID,
            procedure=t(work.EDITION, name=bundle["name"], edition=bundle["edition"]),
            withdrawn=bool(because),
            because="; ".join(because),
        )

    def _state(self) -> str:
        account, closed = self.account, self.account.closed
        said = [t(words.OPEN)]
        if closed:
            end = self.words.end(closed.end)
            said = [t(words.CLOSED, end=end, changed=closed.changed)]
        said.append(t(words.APPROVED[account.approved or "no"]))
        must = [self.states[one["id"]] for one in self.contents.bundle["steps"] if one["must"]]
        said.append(t(words.STEPS_HOLD, count=must.count("done"), must=len(must)))
        if account.tools_out:
            tools = ", ".join(map(self.words.tool, account.tools_out))
            said.append(t(words.TOOLS_STILL_OUT, tools=tools))
        if account.questions:
            said.append(t(words.QUESTIONS_OPEN, questions=len(account.questions)))
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
        role = device.role if device else t(words.UNKNOWN)
        return t(words.WHO, name=self._name(entry.person), role=role)

    def _name(self, person: str) -> str:
        """Return a person's name where it is shown, else the start of the opaque id."""
        if person == CONSOLE:
            return t(words.THE_WORKSHOP)
        statement = self.named.get(person)
        if statement is not None:
            name = self._entry(statement).body["name"]["blob"]
            if name in self.contents.names:
                return self.contents.said(name)
        return t(words.PERSON, person=person[-6:])

    def _exception(self, odd: Oddity) -> Line:
        found = self._found(odd)
        return self._line(odd.entry, self._flagged(odd) if found is None else found)

    def _found(self, odd: Oddity) -> str | None:
        """Say what the bag's own checks found; None for what the fold did."""
        entry = self._entry(odd.entry)
        step = self.placed[odd.entry].step
        if odd.code == "computed-anew":
            anew = self.readings[odd.entry]
            what = said_anew(anew.anew or "", anew.found)
        elif odd.code == "shown-before":
            what = self._shown_before(entry, odd.other or "")
        elif odd.code == "lot-differs":
            what = t(words.CODE_NAMES_LOT, named=odd.name is not None, lot=odd.name or "")
        elif odd.code in ("tool-found-out", "tool-followed"):
            what = self._tightened(odd)
        elif odd.code in words.FINDING:
            what = t(words.FINDING[odd.code], state=odd.name or "")
        elif odd.code in _AGAINST:
            step, what = None, self._against(odd)  # the whole job's, not the step's
        else:
            return None
        where = self.words.step(step) if step else ""
        return t(
            words.FOUND, placed=bool(step), where=where, says=self.words.says(entry), what=what
        )

    def _against(self, odd: Oddity) -> str:
        said = self._entry(odd.other or "").body
        if odd.code == "procedure-withdrawn":
            return t(words.PROCEDURE_WITHDRAWN, because=said["because"])
        because = said["because"].rstrip(".")
        return t(
            words.LOT_RECALLED,
            lot=said["lot"],
            because=because,
            borne=odd.code == "recall-borne",
            followed=odd.code == "recall-followed",
        )

    def _tightened(self, odd: Oddity) -> str:
        check = self._entry(odd.other or "").body
        return t(
            words.TOOL_FOUND_OUT,
            tool=check["tool"],
            on=check["on"],
            known=odd.name is not None,
            actual=odd.name or "",
            unit=check["unit"],
            settled=odd.code == "tool-followed",
        )

    def _shown_before(self, entry: Entry, other: str) -> str:
        index, record = self.records[other]
        return t(
            words.SHOWN_BEFORE,
            photo=entry.kind == "photo.taken",
            index=index,
            here=record.entry.job == self.account.job,
        )

    def _flagged(self, odd: Oddity) -> str:
        step = self.placed[odd.entry].step
        fact, means = flagged(odd.code, self.words.step(step) if step else t(flags.THE_JOB))
        name = ""
        if odd.rule is not None:
            name = self.words.rule(odd.rule)
        elif odd.name is not None and step is not None:
            name = self.words.label(step, odd.name)
        return t(
            words.FLAGGED,
            fact=fact,
            named=bool(name),
            name=name,
            beside=odd.other is not None,
            other=(odd.other or "")[:8],
            says=self.words.says(self._entry(odd.entry)).rstrip("."),
            means=means,
        )

    # The steps.

    def _phases(self) -> Iterator[PhaseAccount]:
        told = {one.step: one for one in self.account.steps}
        for phase in self.contents.bundle["phases"]:
            here = [one for one in self.contents.bundle["steps"] if one["phase"] == phase["id"]]
            steps = [self._step(one, told[one["id"]]) for one in here]
            shown = [one for one in steps if one.must or one.lines or one.measures or one.pictures]
            yield PhaseAccount(phase["name"], tuple(shown))

    def _step(self, step: shape.Step, told: Step) -> StepAccount:
        here = [self._entry(name) for name in told.entries]
        return StepAccount(
            number=step["number"],
            title=step["title"],
            state=told.state,
            must=step["must"],
            undo=step["undo"],
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
            signatures=tuple(self._signatures(here)),
        )

    def _picture(self, photo: Entry) -> Picture:
        body = photo.body
        disclosure = self.contents.disclosures.get(body["blob"])
        if disclosure and disclosure.state == "disclosed" and not disclosure.reason:
            shown = t(words.ORIGINAL, size=body["size"], blob=body["blob"][:12])
        else:
            shown = why_hidden(disclosure) if disclosure else t(words.NOT_IN_BAG)
        how = t(words.TAKEN_IN_APP) if body["how"] == "live" else t(words.PICKED)
        return Picture(
            label=self.words.label(body["step"], body["name"]),
            blob=body["blob"],
            remark=t(words.PHOTO, shown=shown, how=how, who=self._who(photo), at=instant(photo.at)),
        )

    def _signatures(self, entries: Iterable[Entry]) -> Iterator[Signature]:
        """Yield what was signed: where a step asks for it, and the customer's word on a finding."""
        for one in entries:
            if self.words.is_signature(one):
                label = self.words.label(one.body["step"], one.body["name"])
                yield self._signature(one, label, one.body["text"]["blob"])
            elif one.kind == "finding.answered" and "signature" in one.body:
                signed = one.body["signature"]["blob"]
                yield self._signature(one, t(words.CUSTOMER_SIGNED), signed)

    def _signature(self, signed: Entry, label: str, blob: str) -> Signature:
        is_shown = blob in self.contents.names
        said = self.contents.said(blob)
        return Signature(
            label=label,
            path=said if is_shown else None,
            remark=t(
                words.SIGNED,
                hidden=not is_shown,
                why=said,
                who=self._who(signed),
                at=instant(signed.at),
            ),
        )

    # Parts, tools, people.

    def _parts(self) -> Iterator[tuple[str, str]]:
        for one in self.account.parts:
            fitted = self._entry(one.entry)
            because = [self._entry(name).body["because"] for name in one.recalled_by]
            yield (
                self.words.part(fitted.body["part"]),
                t(
                    words.PART,
                    says=self.words.says(fitted),
                    recalled=bool(because),
                    because=because[-1] if because else "",
                ),
            )

    def _tools(self) -> Iterator[tuple[str, str]]:
        for one in self.account.tools:
            registered = self._entry(one.registered) if one.registered else None
            said = [registered.body["label"] if registered else t(words.NOT_REGISTERED)]
            checks = [self._entry(name).body for name in one.calibrated]
            said += [t(words.CALIBRATED_DUE, on=check["on"], due=check["due"]) for check in checks]
            said += [self._checked(self._entry(name)) for name in one.checked]
            yield one.tool, "; ".join(said)

    def _checked(self, check: Entry) -> str:
        found = ", ".join(
            t(words.POINT, nominal=one["nominal"], found=one["found"])
            for one in check.body["points"]
        )
        good = check_of(check.id, check.body).is_good
        return t(
            words.CHECKED, on=check.body["on"], good=good, found=found, unit=check.body["unit"]
        )

    def _device(self, device: Device) -> tuple[str, str]:
        """Name a device of the job: its role, the persons its entries name, its enrolment."""
        persons = dict.fromkeys(map(self._name, device.persons))
        said = t(
            words.SAID_TO_BE,
            role=device.role or t(words.UNKNOWN),
            persons=", ".join(persons),
            is_enrolled=device.enrolled_at is not None,
            enrolled_at=device.enrolled_at or 0,
            is_revoked=device.revoked_at is not None,
            revoked_at=device.revoked_at or 0,
        )
        return t(words.DEVICE, device=device.device[:8]), said

    def _papers(self) -> Iterator[Paper]:
        """Yield the papers that statements name, and permits without one, in the ledger's order."""
        ended = {
            one.entry.body["permit"]: one.entry.body["because"]
            for _, one in self.contents.records
            if one.entry.kind == "permit.ended"
        }
        for _, one in self.contents.records:
            if one.entry.kind == "permit.given":
                yield self._permit(one.entry, ended.get(one.entry.id))
            elif one.entry.kind in _CERTIFIED and "document" in one.entry.body:
                said = one.entry.body
                label = t(words.CERTIFICATE, tool=said["tool"], on=said["on"])
                yield Paper(label, said["document"]["blob"], self._why_no_file(said["document"]))

    def _permit(self, given: Entry, ended: str | None) -> Paper:
        said = given.body
        person, permit = self._name(said["person"]), said["permit"].replace("_", " ")
        label = t(words.PERMIT, person=person, permit=permit)
        days = t(
            words.PERMIT_DAYS,
            on=said["on"],
            has_end="until" in said,
            until=said.get("until", ""),
            is_ended=ended is not None,
            because=(ended or "").rstrip("."),
        )
        if "document" not in said:
            return Paper(label, None, days)
        why = self._why_no_file(said["document"])
        return Paper(label, said["document"]["blob"], f"{days}; {why}" if why else days)

    def _why_no_file(self, document: Mapping[str, Any]) -> str:
        blob = document["blob"]
        if blob in self.contents.names:
            return ""
        disclosure = self.contents.disclosures.get(blob)
        return why_hidden(disclosure) if disclosure else t(words.NOT_IN_BAG)

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
            yield t(words.UNPROVEN_STEPS, not_done=_not_done(must))
        if not self.account.is_published:
            yield t(words.UNPROVEN_PUBLICATION)
        if self.account.unread:
            named = ", ".join(one[:8] for one in self.account.unread)
            count = len(self.account.unread)
            yield t(words.UNPROVEN_UNREAD, count=count, named=named)
        if self.account.lacking:
            named = ", ".join(one[:8] for one in self.account.lacking)
            count = len(self.account.lacking)
            is_whole = self.contents.is_whole
            yield t(words.UNPROVEN_MISSING, count=count, whole=is_whole, named=named)
        if self.account.lacking_numbers:
            numbers = (
                t(words.SEQ_OF, seq=one.seq, device=one.device[:8])
                for one in self.account.lacking_numbers
            )
            said = ", ".join(numbers)
            yield t(words.UNPROVEN_EARLIER, whole=self.contents.is_whole, said=said)
        unseen = [
            self._entry(one.entry).body for one in self.account.readings if one.anew in UNSEEN
        ]
        if unseen:
            named = ", ".join(self.words.label(one["step"], one["name"]) for one in unseen)
            yield t(words.UNPROVEN_MEASUREMENTS, named=named)
        yield from self._copies(self.contents.disclosures.values())
        yield t(words.UNPROVEN_TIMES)
        yield t(words.UNPROVEN_HANDS)
        yield t(words.UNPROVEN_TRUTH)
        yield from self._what_may_lack()
        yield t(words.UNPROVEN_SAME_LEDGER)

    def _copies(self, disclosures: Iterable[Disclosure]) -> Iterator[str]:
        copies = sum(one.state == "copy" for one in disclosures)
        if copies:
            yield t(words.UNPROVEN_COPIES, copies=copies)

    def _what_may_lack(self) -> Iterator[str]:
        size = self.account.size
        if self.contents.is_whole:
            yield t(words.UNPROVEN_NOT_RECEIVED, size=size)
            return
        yield t(words.UNPROVEN_COMPLETENESS, size=size)
        yield t(words.UNPROVEN_STATEMENTS)


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
            runs.append(
                ", ".join(numbers) if is_short else t(words.RUN, first=numbers[0], last=numbers[-1])
            )
    return ", ".join(runs)
