"""
From a bag's records to the account of its job: what holds, what was measured, what is odd.

The state comes from `procedure.machine` alone. Everything here is read once and looked up by name:
a job may have thousands of entries, and a bag as many statements.
"""

from collections.abc import Iterator
from typing import Final

from twoturns.bag import clocks
from twoturns.bag.account import (
    EDITION,
    Account,
    Blob,
    Closed,
    Device,
    Number,
    Oddity,
    Part,
    Person,
    Placed,
    Reading,
    Step,
    Tool,
)
from twoturns.bag.blob_uses import uses_of_blobs
from twoturns.bag.contents import Contents
from twoturns.bag.readings import Corrections, holds
from twoturns.bag.recompute import COMPUTED, Anew, reading_anew
from twoturns.bag.repeats import shown_before
from twoturns.bag.sentences import Words
from twoturns.bag.stated_against import stated_against, tightened_out
from twoturns.ledger.entry import CONSOLE, Entry
from twoturns.ledger.record import Record
from twoturns.procedure.machine.findings import OPEN, findings, offered
from twoturns.procedure.machine.fold import LogEntry, fold
from twoturns.procedure.machine.found_out import check_of
from twoturns.procedure.machine.machine import Machine
from twoturns.procedure.machine.state import Flag
from twoturns.trade.as_found import Check
from twoturns.trade.gs1 import read_label
from twoturns.trade.spelling import lot_key, tool_key
from twoturns.words import t
from twoturns.words.en.bag import assess as words

_REGISTERED: Final = ("tool.registered", "tool.corrected")
_CHECKS: Final = ("tool.calibrated", "tool.checked")
_AGAINST: Final = ("lot.recalled", "bundle.withdrawn")
_MOST_ANEW: Final = 100  # a job has a dozen; a thousand would hold up who asks for the bag


def account_of(contents: Contents) -> Account:
    """
    Return the account of a bag's job.

    Raises:
        ValueError: If no entry of the bag opens the job.
    """
    return _Assessor(contents).account()


def workshop_name(contents: Contents) -> str | None:
    """Return the name that came with the workshop's current key."""
    current = contents.roster.workshop_key
    return next(
        (
            one.entry.body["name"]
            for _, one in contents.records
            if one.entry.kind == "workshop.keyed" and one.entry.body["key"] == current
        ),
        None,
    )


class _Assessor:
    def __init__(self, contents: Contents) -> None:
        self.contents = contents
        self.words = Words(contents)
        self.entries = {one.entry.id: one.entry for _, one in contents.of_job}
        self.stated = _stated(contents)
        opened = [one.entry for _, one in contents.of_job if one.entry.kind == "job.opened"]
        if not opened:
            raise ValueError(t(words.JOB_NEVER_OPENED))
        self.opened = opened[0]
        self.log = self._logged()
        self.job = fold(Machine.from_bundle(contents.bundle), self.log)
        self.corrections = Corrections(list(self.entries.values()))
        self.step_of = {name: self._step_of(one) for name, one in self.entries.items()}
        self.anew = dict(self._computed_anew())

    def _logged(self) -> list[LogEntry]:
        return [
            LogEntry(
                id=one.id,
                after=one.after,
                kind=one.kind,
                body=one.body,
                standing=self.contents.standings[one.id],
                person=one.person,
                device=one.device,
            )
            for one in self.entries.values()
        ]

    def account(self) -> Account:
        contents, job = self.contents, self.job
        bundle = self.opened.body["bundle"]
        closed = Closed(job.closed.end, job.closed.changed) if job.closed else None
        return Account(
            edition=EDITION,
            job=contents.job,
            workshop=contents.workshop,
            workshop_name=workshop_name(contents) or "",
            size=contents.checkpoint.size,
            root=contents.checkpoint.root.hex(),
            made_on=contents.made_on,
            bundle=bundle,
            is_published=bool(self._that("bundle.published", "bundle", bundle)),
            withdrawn_by=self._that("bundle.withdrawn", "bundle", bundle),
            opened=self.opened.id,
            closed=closed,
            approved=job.approved,
            tools_out=tuple(job.tools_out),
            questions=tuple(one.entry for one in job.questions),
            steps=tuple(self._steps()),
            entries=tuple(self._placed()),
            exceptions=tuple(self._exceptions()),
            readings=tuple(self._readings()),
            parts=tuple(self._parts()),
            tools=tuple(self._tools()),
            persons=tuple(self._persons()),
            devices=tuple(self._devices()),
            blobs=tuple(self._blobs()),
            lacking=self._lacking(),
            lacking_numbers=self._lacking_numbers(),
            unread=tuple(one.entry.id for _, one in contents.records if not one.entry.is_known),
        )

    def _that(self, kind: str, member: str, value: str) -> tuple[str, ...]:
        """Return the statements of a kind that say this of a member."""
        return tuple(one.id for one in self.stated.get(kind, ()) if one.body[member] == value)

    # Where an entry belongs.

    def _step_of(self, entry: Entry) -> str | None:
        """Return the step an entry speaks of, through the reading or question it answers."""
        if entry.kind == "reading.corrected":
            spoken_of = self.entries.get(self.corrections.reading(entry.id))
        elif entry.kind == "review.answered":
            spoken_of = self.entries.get(entry.body["question"])
        elif entry.kind in ("finding.answered", "finding.settled", "extra.added"):
            spoken_of = self.entries.get(entry.body["finding"])
        elif entry.kind == "extra.done":
            extra = self.entries.get(entry.body["extra"])
            is_one = extra and extra.kind == "extra.added"  # it may name any entry
            spoken_of = self.entries.get(extra.body["finding"]) if extra and is_one else None
        else:
            spoken_of = entry
        return spoken_of.body.get("step") if spoken_of else None

    def _placed(self) -> Iterator[Placed]:
        for index, one in self.contents.of_job:
            name = one.entry.id
            standing = self.contents.standings[name]
            yield Placed(name, index, standing, self.step_of[name])

    def _steps(self) -> Iterator[Step]:
        here: dict[str | None, list[str]] = {}
        for name, step in self.step_of.items():
            here.setdefault(step, []).append(name)
        for one, state in zip(self.contents.bundle["steps"], self.job.steps, strict=True):
            yield Step(one["id"], state, tuple(here.get(one["id"], ())))

    # What is odd.

    def _exceptions(self) -> Iterator[Oddity]:
        recalls, withdrawals = (self.stated.get(one, ()) for one in _AGAINST)
        yield from stated_against(self.log, recalls, withdrawals)
        days = {one.entry.id: clocks.day_of(one) for _, one in self.contents.of_job}
        yield from tightened_out(self.log, days, self._checks())
        yield from map(self._flagged, self.job.exceptions)
        for name, anew in self.anew.items():
            if anew.differs:
                yield Oddity(name, "computed-anew")
        yield from self._shown_before()
        yield from self._labels_that_differ()
        yield from self._found()

    def _found(self) -> Iterator[Oddity]:
        """Tell what was found and is not put right, and what nobody has noted."""
        for one in findings(self.log):
            if one.state in OPEN:
                yield Oddity(one.entry, "finding-open", name=one.state)
            elif one.state == "refused":
                yield Oddity(one.entry, "finding-refused")
        for each in offered(self.log, self.contents.bundle["steps"]):
            yield Oddity(each.id, "finding-offered")

    def _flagged(self, flag: Flag) -> Oddity:
        rule = None if flag.rule is None else self.contents.bundle["rules"][flag.rule]["id"]
        return Oddity(flag.entry, flag.code, rule, flag.name, flag.other)

    def _shown_before(self) -> Iterator[Oddity]:
        for name, other in shown_before(one.entry for _, one in self.contents.records).items():
            if name in self.entries:
                yield Oddity(name, "shown-before", other=other.id)

    def _labels_that_differ(self) -> Iterator[Oddity]:
        """A lot is told as the camera's only where the code that it read names that lot."""
        for one in self.entries.values():
            if one.kind == "part.fitted" and "code" in one.body:
                lot = read_label(one.body["code"]).lot
                if lot is None or lot_key(lot) != lot_key(one.body["lot"]):
                    yield Oddity(one.id, "lot-differs", name=lot)

    # What was measured, with what.

    def _computed_anew(self) -> Iterator[tuple[str, Anew]]:
        left = _MOST_ANEW
        for one in self.entries.values():
            if one.kind == "reading.taken" and one.body.get("by") in COMPUTED:
                yield one.id, self._anew(one) if left else Anew("not-computed")
                left -= 1 if left else 0

    def _anew(self, reading: Entry) -> Anew:
        asked = self.words.proof(reading.body["step"], reading.body["name"])
        if asked:
            photo = self.entries.get(reading.body.get("photo", ""))
            asked = {
                **asked,
                "wheel_teeth": self.words.wheel_teeth(asked.get("wheel")),
                "photo_blob": photo.body.get("blob") if photo else None,
            }
        return reading_anew(reading.body, asked, self.contents)

    def _readings(self) -> Iterator[Reading]:
        for one in self.entries.values():
            if one.kind == "reading.taken":
                values = self.corrections.values(one.id) or [one.body["value"]]
                asked = self.words.proof(one.body["step"], one.body["name"])
                anew = self.anew.get(one.id)
                yield Reading(
                    entry=one.id,
                    values=tuple(values),
                    holds=holds(values, asked),
                    anew=anew.code if anew else None,
                    found=anew.found if anew else None,
                )

    def _parts(self) -> Iterator[Part]:
        recalled: dict[str, list[str]] = {}
        for one in self.stated.get("lot.recalled", ()):
            recalled.setdefault(lot_key(one.body["lot"]), []).append(one.id)
        for one in self.entries.values():
            if one.kind == "part.fitted":
                by = recalled.get(lot_key(one.body["lot"]), ())
                yield Part(one.id, tuple(by))

    def _tools(self) -> Iterator[Tool]:
        read = (one.body for one in self.entries.values() if one.kind == "reading.taken")
        registered = self._registered()
        calibrated = self._by_tool("tool.calibrated")
        checked = self._by_tool("tool.checked")
        for tool in sorted({body["tool"] for body in read if "tool" in body}):
            key = tool_key(tool)
            newest = registered.get(key)
            checks = (tuple(said.get(key, ())) for said in (calibrated, checked))
            yield Tool(tool, newest, *checks)

    def _registered(self) -> dict[str, str]:
        """Return what was said last of each tool, at its registering or in a correction."""
        good = {one.id for kind in _REGISTERED for one in self.stated.get(kind, ())}
        return {
            tool_key(one.entry.body["tool"]): one.entry.id
            for _, one in self.contents.records
            if one.entry.id in good
        }

    def _checks(self) -> dict[str, list[Check]]:
        """Return all checks of each tool, in the order of the ledger."""
        checks: dict[str, list[Check]] = {}
        for _, one in self.contents.records:
            said = one.entry
            if said in self.stated.get(said.kind, ()) and said.kind in _CHECKS:
                checks.setdefault(tool_key(said.body["tool"]), []).append(
                    check_of(said.id, said.body)
                )
        return checks

    def _by_tool(self, kind: str) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for one in self.stated.get(kind, ()):
            found.setdefault(tool_key(one.body["tool"]), []).append(one.id)
        return found

    # Who, and when by their clocks.

    def _persons(self) -> Iterator[Person]:
        named = {one.body["person"]: one.id for one in self.stated.get("person.named", ())}
        for person in dict.fromkeys(one.person for one in self.entries.values()):
            if person != CONSOLE:
                yield Person(person, named.get(person))

    def _devices(self) -> Iterator[Device]:
        devices: dict[str, list[Record]] = {}
        for _, one in self.contents.of_job:
            devices.setdefault(one.entry.device, []).append(one)
        for device, records in devices.items():
            known = self.contents.roster.device(device)
            yield Device(
                device=device,
                role=known.role if known else None,
                persons=tuple(dict.fromkeys(one.entry.person for one in records)),
                enrolled_at=known.enrolled_at if known else None,
                revoked_at=known.revoked_at if known else None,
                clock=clocks.of_device(records),
            )

    # What is not there.

    def _blobs(self) -> Iterator[Blob]:
        for blob, uses in uses_of_blobs(self.entries.values()).items():
            said = self.contents.disclosures.get(blob)
            state, reason = (said.state, said.reason) if said else (None, None)
            yield Blob(blob, tuple(uses), state, reason)

    def _lacking(self) -> tuple[str, ...]:
        followed = {before for one in self.entries.values() for before in one.after}
        return tuple(sorted(followed - self.entries.keys()))

    def _lacking_numbers(self) -> tuple[Number, ...]:
        here = {(one.entry.device, one.entry.seq) for _, one in self.contents.records}
        before = {(one.device, one.seq - 1) for one in self.entries.values() if one.seq > 1}
        return tuple(Number(*one) for one in sorted(before - here))


def _stated(contents: Contents) -> dict[str, list[Entry]]:
    """Return the workshop's statements by their kind, but none by who might not make it."""
    stated: dict[str, list[Entry]] = {}
    for index, one in contents.records:
        said = one.entry
        if said.job is None and contents.roster.has_right(said, index):
            stated.setdefault(said.kind, []).append(said)
    return stated
