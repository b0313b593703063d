"""
A job in which everything happened, and what somebody might want to cut out of its bag.

Each cut names the indices that go; `without` (in `bags`) mends all that shows it but the
workshop's own signature.
"""

from collections.abc import Callable, Collection, Mapping
from pathlib import Path
from typing import Any

from bags import BagWorkshop, bag_entries
from twoturns.demo.scripted_phone import ScriptedPhone, Work

Entries = Mapping[int, Mapping[str, Any]]


class RichJob:
    """A workshop, and in it a job with all kinds of entries, statements and neighbours."""

    def __init__(self, folder: Path) -> None:
        self.workshop = BagWorkshop(folder)
        self.mechanic = self.workshop.phone("mechanic", "Ada Weir")
        self.second = self.workshop.phone("mechanic", "Cleo Lock")
        self.owner = self.workshop.phone("owner", "Bo Sluice")
        self._state("tool.registered", {"tool": "W7", "type": "torque_wrench", "label": "Wrench"})
        self._state("tool.calibrated", {"tool": "W7", "on": "2026-01-02", "due": "2027-01-02"})
        self.before = self.workshop.job(self.mechanic, plate="WEIR 11")
        self._reading(self.before, "0.1")
        shot = self.before.write(self.mechanic, "photo.taken", self._photo(self.before))
        self.work = self.workshop.job(self.mechanic)
        self._begun(shot.body["blob"])
        self._statements()
        self._ended()

    def _state(self, kind: str, body: dict[str, Any]) -> None:
        self.workshop.store.ledger.state(kind, body, self.workshop.now)

    def _reading(self, work: Work, value: str) -> None:
        body = {"step": "belt_on", "name": "torque", "value": value, "unit": "N·m", "tool": "W7"}
        work.write(self.mechanic, "reading.taken", body)

    def _photo(self, work: Work, blob: str | None = None) -> dict[str, Any]:
        photo = work.picture("lock_in", f"seen_{work.job[:8]}")
        self.mechanic.photos.append(photo.data)
        size = {"size": len(photo.data), "width": 400, "height": 300, "type": "image/jpeg"}
        return {"step": "lock_in", "name": "seen", "how": "live", **size} | {
            "blob": blob or self.workshop.store.blobs.put(photo.data)
        }

    def _begun(self, seen_before: str) -> None:
        work, mechanic = self.work, self.mechanic
        work.run(mechanic, until="belt_off")
        work.fail(mechanic, "belt_off", "nut_seized", words="nut seized, soaked it")
        work.write(mechanic, "condition.seen", {"condition": "belt", "value": "old"})
        work.run(mechanic, until="two_turns")
        self._reading(work, "26.5")
        because = mechanic.private("words", "a slip")
        reading = work.log[-1]
        corrected = {"of": reading.id, "value": "26.0", "because": because}
        work.write(mechanic, "reading.corrected", corrected)
        turned = {"step": "two_turns", "name": "turned", "value": "720.0", "unit": "°"}
        work.write(mechanic, "reading.taken", turned)
        work.write(mechanic, "photo.taken", self._photo(work, seen_before))
        fitted = {"step": "belt_on", "name": "belt", "part": "belt", "lot": "NH-24-0917"}
        work.write(mechanic, "part.fitted", fitted)
        work.write(mechanic, "tool.lost", {"tool": "l1", "because": because})
        work.write(mechanic, "tool.in", {"tool": "l1"})
        for words in ("one tooth", "looks worn", "rang the owner"):
            work.write(mechanic, "note.added", {"text": mechanic.private("words", words)})
        other = self.workshop.job(mechanic, plate="WEIR 13")
        other.run(mechanic, until="belt_off")
        self.workshop.deliver(mechanic)
        work.write(self.second, "job.taken", {})
        work.write(self.second, "step.begun", {"step": "two_turns"})
        self.workshop.deliver(self.second)

    def _statements(self) -> None:
        late = [one.id for one in self.work.log[-2:]]
        phone = self.second.key.thumbprint
        self._state("device.revoked", {"device": phone, "because": "left in a tram"})
        self._state("lot.recalled", {"lot": "nh 24 0917", "because": "teeth shear"})
        self._state("work.accepted", {"entries": late, "because": "he was there"})
        bundle = {"bundle": self.workshop.bundle.sha256, "because": "a wrong torque"}
        self._state("bundle.withdrawn", bundle)
        note = next(one for one in self.work.log if one.kind == "note.added")
        erased = {"blob": note.body["text"]["blob"], "reason": "asked for", "basis": "a law"}
        self._state("blob.erased", erased)

    def _ended(self) -> None:
        work, owner, mechanic = self.work, self.owner, self.mechanic
        because = owner.private("words", "accepted")
        work.write(owner, "review.gap", {"step": "two_turns", "because": because})
        asked = owner.private("words", "why so long?")
        work.write(owner, "review.returned", {"step": "belt_on", "question": asked})
        answered = {"question": work.log[-1].id}
        self.workshop.deliver(owner)
        work.write(
            mechanic, "review.answered", answered | {"words": mechanic.private("words", "rust")}
        )
        reopened = {"step": "belt_on", "because": mechanic.private("words", "again")}
        work.write(mechanic, "step.reopened", reopened)
        work.write(mechanic, "job.closed", {"end": "finished"})
        self.workshop.deliver(mechanic)
        work.write(owner, "review.approved", {})
        work.write(
            owner, "review.returned", {"step": "belt_on", "question": owner.private("words", "?")}
        )
        self.workshop.deliver(owner)

    def bag(self, **asked: Any) -> bytes:
        return self.workshop.bag(self.work, **asked)

    def phone(self) -> ScriptedPhone:
        return self.mechanic


def of_kind(kind: str, *, last: bool = False) -> Callable[[Entries, str], set[int]]:
    """Cut the entries or statements of a kind, or only the last of them."""

    def chosen(entries: Entries, job: str) -> set[int]:
        found = [i for i, one in entries.items() if one["kind"] == kind]
        found = [i for i in found if entries[i]["job"] in (job, None)]
        return {found[-1]} if last else set(found)

    return chosen


def last_entries(entries: Entries, job: str) -> set[int]:
    return {*[i for i, one in entries.items() if one["job"] == job][-3:]}


def neighbours(entries: Entries, job: str) -> set[int]:
    return {i for i, one in entries.items() if one["job"] not in (job, None)}


def first_neighbour(entries: Entries, job: str) -> set[int]:
    return {min(neighbours(entries, job))}


def second_mechanic(entries: Entries, job: str) -> set[int]:
    """Cut all that the second mechanic ever did, and all that speaks of that phone."""
    (device,) = {one["device"] for one in entries.values() if one["kind"] == "job.taken"}
    return {
        i
        for i, one in entries.items()
        if one["device"] == device or one["body"].get("device") == device
    }


Cut = Callable[[Entries, str], Collection[int]]
CUTS: dict[str, Cut] = {
    "a failed step": of_kind("step.failed"),
    "one note": of_kind("note.added", last=True),
    "all notes": of_kind("note.added"),
    "a reading": of_kind("reading.taken", last=True),
    "all readings": of_kind("reading.taken"),
    "a correction": of_kind("reading.corrected"),
    "a photo": of_kind("photo.taken", last=True),
    "all photos": of_kind("photo.taken"),
    "what was seen": of_kind("condition.seen"),
    "a step that was begun": of_kind("step.begun", last=True),
    "a step that was reopened": of_kind("step.reopened"),
    "a part that was fitted": of_kind("part.fitted"),
    "a lost tool": of_kind("tool.lost"),
    "the hand-over": of_kind("job.taken"),
    "the last entries": last_entries,
    "the open question": of_kind("review.returned", last=True),
    "all questions": of_kind("review.returned"),
    "an answer": of_kind("review.answered"),
    "a gap that was accepted": of_kind("review.gap"),
    "the approval": of_kind("review.approved"),
    "that it was closed": of_kind("job.closed"),
    "all of one mechanic": second_mechanic,
    "a revocation": of_kind("device.revoked"),
    "a recall": of_kind("lot.recalled"),
    "an acceptance": of_kind("work.accepted"),
    "that the procedure was withdrawn": of_kind("bundle.withdrawn"),
    "that it was published": of_kind("bundle.published"),
    "a calibration": of_kind("tool.calibrated"),
    "a tool's registration": of_kind("tool.registered"),
    "that blobs were kept": of_kind("blob.kept"),
    "a name": of_kind("person.named", last=True),
    "all neighbours": neighbours,
    "a photo's first use": first_neighbour,
}


def cut_of(files: Mapping[str, bytes], job: str, cut: Cut) -> set[int]:
    """Return what a cut takes out of these files; never nothing."""
    gone = set(cut(bag_entries(files), job))
    assert gone
    return gone
