"""
The fold: a job's entries in, its state out. The rules are formats.md, section 6, Fold.

Pure, and the same whatever order the entries came in and whatever their clocks said: only links
count. What two phones wrote without knowing of each other is kept from both sides, and a proof
that this touches is none, so that no proof holds that would not hold in every order in which
things can have happened (`tests/server/procedure/machine/test_fold.py` tries them all).

`client/src/procedure/fold.ts` is the same, rule for rule.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Literal

from twoturns.procedure.machine.judge import Done, Judgement, View
from twoturns.procedure.machine.log import UNREAD, LogEntry, bits
from twoturns.procedure.machine.machine import Machine
from twoturns.procedure.machine.state import Begun, Closed, Flag, JobState, Loss, Question, may_end

__all__ = ["LogEntry", "fold"]

_STEP_KINDS = ("step.begun", "step.done", "step.failed", "step.reopened", "review.gap")
_FLAGGED_KINDS = {
    "step.failed": "failed",
    "step.reopened": "reopened",
    "reading.corrected": "corrected",
    "review.gap": "gap-accepted",
    "tool.lost": "tool-lost",
    UNREAD: "unread",
}
# What may come in after a job was closed without changing what was closed.
_TALK = frozenset(
    {"review.returned", "review.answered", "review.gap", "review.approved"}
    | {"note.added", "job.closed", "recall.borne", "recall.followed", "notice.settled"}
    | {"finding.noted", "finding.answered", "finding.settled"}
    | {"job.planned", "job.parked", "job.resumed"}
    | {"page.shared", "page.ended"}
)
# What an owner says of a job without changing what was approved in it.
_SAID_OF_APPROVED = frozenset({"recall.followed", "notice.settled", "page.shared", "page.ended"})


def fold(machine: Machine, entries: Sequence[LogEntry]) -> JobState:
    """
    Return the state of a job.

    Args:
        machine: The machine of the job's bundle.
        entries: The job's entries with their standing, in any order.
    """
    return _Fold(machine, entries).state()


class _Fold:
    """Puts the state together."""

    def __init__(self, machine: Machine, entries: Sequence[LogEntry]) -> None:
        self.machine = machine
        self.judgement = Judgement(machine, entries)
        self.history = self.judgement.history
        self.whole = View(self.judgement, self.history.all)
        self.kinds: dict[str, int] = defaultdict(int)
        for at, entry in enumerate(self.history.entries):
            self.kinds[entry.kind] |= 1 << at

    def state(self) -> JobState:
        steps = [self.whole.step(s) for s in range(len(self.machine.steps))]
        ids = [entry.id for entry in self.history.entries]
        return JobState(
            conditions=self.whole.conditions(),
            steps=[status for status, _ in steps],
            tried=[s in self._tried for s in range(len(self.machine.steps))],
            done_by=[[ids[at] for at in by] for _, by in steps],
            lost=[
                self._loss(s) if status == "todo" else None for s, (status, _) in enumerate(steps)
            ],
            tools_out=self._tools_out(self.history.all),
            questions=self._questions(self.history.all),
            exceptions=list(self._flags()),
            begun=self._begun(),
            closed=self._closed(),
            approved=self._approved(),
            heads=self.history.heads(),
        )

    @cached_property
    def _tried(self) -> set[int | None]:
        worked = self.kinds["step.done"] | self.kinds["step.failed"]
        return {self.judgement.step_of[at] for at in bits(worked)}

    def _loss(self, s: int) -> Loss | None:
        """Return what first took away the last good doing of a step."""
        good = self.judgement.dones[s] | self.judgement.gaps[s]
        if not good:
            return None
        last = good.bit_length() - 1
        for at in bits(self.judgement.resets[s] & ~self.history.past[last]):
            return Loss(self.history.entries[at].id, self.judgement.causes[s][at])
        other = self._other(self.judgement.judged[last]) if last in self.judgement.judged else None
        return Loss(other, None) if other else None

    def _other(self, done: Done) -> str | None:
        """Return the first entry beside a done step that its place in the order cannot bear."""
        twins = self.judgement.twins(done.step, self.whole.valid)
        for at in bits(done.contrary & ~twins):
            return self.history.entries[at].id
        return None

    def _tools_out(self, among: int) -> list[str]:
        out: set[str] = set()
        back: dict[str, int] = {}
        returned = self.kinds["tool.in"] | self.kinds["tool.lost"]
        for at, entry in self.judgement.among(among & returned):
            if entry.good:
                slot = str(entry.body["tool"])
                back[slot] = back.get(slot, 0) | 1 << at
        for at, entry in self.judgement.among(among & self.kinds["tool.out"]):
            slot = str(entry.body["tool"])
            if not back.get(slot, 0) & self.history.future[at]:
                out.add(slot)
        return sorted(out)

    def _questions(self, among: int) -> list[Question]:
        return [
            Question(entry.id, self.judgement.step_of[at])
            for at, entry in self.judgement.among(among & self.kinds["review.returned"])
            if not self._answered(at) & among
        ]

    def _answered(self, question: int) -> int:
        """Return the entries that settle a question."""
        asked = self.history.entries[question]
        answers, of_step = ("question", asked.id), ("step", asked.body["step"])
        settling = self._settling.get(answers, 0) | self._settling.get(of_step, 0)
        return self.history.future[question] & settling

    @cached_property
    def _settling(self) -> dict[tuple[str, str], int]:
        """For each question the good answers to it, for each step what settles all asked of it."""
        found: dict[tuple[str, str], int] = defaultdict(int)
        for at, entry in enumerate(self.history.entries):
            if not entry.good:
                continue
            if entry.kind == "review.answered":
                found["question", entry.body["question"]] |= 1 << at
            elif entry.kind in ("step.reopened", "review.gap"):
                found["step", entry.body["step"]] |= 1 << at
        return found

    def _begun(self) -> list[Begun]:
        found = []
        for s, entries in enumerate(self.judgement.begun):
            unsettled = [at for at in bits(entries) if not self._settled(at, s)]
            if unsettled:
                without = View(self.judgement, self.history.all & ~entries)
                entry = self.history.entries[unsettled[-1]]
                found.append(Begun(s, entry.id, without.conditions()))
        return found

    def _settled(self, at: int, s: int) -> bool:
        """A beginning is settled when the step was done or failed, or all it moved was set."""
        future = self.history.future[at]
        if future & (self.judgement.dones[s] | self.judgement.failed[s]):
            return True
        engine = [
            c for c, _ in self.machine.steps[s].on_the_way if not self.machine.conditions[c].proof
        ]
        return bool(engine) and all(self.judgement.writes.good_settings[c] & future for c in engine)

    def _closed(self) -> Closed | None:
        closings = [
            (at, entry)
            for at, entry in enumerate(self.history.entries)
            if entry.kind == "job.closed" and entry.good
        ]
        if not closings:
            return None
        at, entry = closings[-1]
        unseen = self.history.all & ~(self.history.past[at] | 1 << at)
        changed = any(other.kind not in _TALK for _, other in self.judgement.among(unseen))
        return Closed(entry.id, str(entry.body["end"]), changed)

    def _approved(self) -> Literal["approved", "changed"] | None:
        approvals = sum(
            1 << at
            for at, entry in enumerate(self.history.entries)
            if entry.kind == "review.approved" and entry.good
        )
        if not approvals:
            return None
        said_since = sum(
            1 << at
            for at, entry in enumerate(self.history.entries)
            if entry.kind in _SAID_OF_APPROVED and entry.good
        )
        rest = self.history.all & ~approvals & ~said_since
        whole = any(not rest & ~self.history.past[at] for at in bits(approvals))
        return "approved" if whole else "changed"

    # What the owner must look at.

    def _flags(self) -> Iterator[Flag]:
        for at, entry in enumerate(self.history.entries):
            step = self.judgement.step_of[at]
            if not entry.good:
                yield Flag(entry.id, entry.standing, step)
            if self._is_unknown(at, entry):
                yield Flag(entry.id, "unknown", step)
            if entry.kind in _FLAGGED_KINDS:
                slot = str(entry.body["tool"]) if entry.kind == "tool.lost" else None
                yield Flag(entry.id, _FLAGGED_KINDS[entry.kind], step, name=slot)
            if step is not None and self._lacked_its_permit(step, entry):
                yield Flag(entry.id, "without-permit", step)
            if entry.kind == "job.opened" and (other := self._opened_before(at)):
                yield Flag(entry.id, "opened-again", other=other)
            if at in self.judgement.judged:
                yield from self._flags_of_done(self.judgement.judged[at], entry.id)
            if entry.kind == "job.closed" and entry.good and self._closed_early(at, entry):
                yield Flag(entry.id, "out-of-order")

    def _lacked_its_permit(self, step: int, entry: LogEntry) -> bool:
        note = self.machine.steps[step].permit_note
        return note is not None and entry.kind == "note.added" and entry.body.get("name") == note

    def _opened_before(self, at: int) -> str | None:
        """Return a good opening that this one does not come before: the two began one job twice."""
        good = self.kinds["job.opened"] & ~self.history.future[at] & ~(1 << at)
        return next((e.id for _, e in self.judgement.among(good) if e.good), None)

    def _is_unknown(self, at: int, entry: LogEntry) -> bool:
        """An entry may name what its bundle does not have; then it says nothing."""
        body = entry.body
        if entry.kind in _STEP_KINDS and self.judgement.step_of[at] is None:
            return True
        if entry.kind == "step.failed":
            fails = self.machine.steps[self.judgement.step_of[at] or 0].fails
            return all(failure.id != body["failure"] for failure in fails)
        if entry.kind == "condition.seen":
            return not self.judgement.writes.settings_by[at]
        if entry.kind == "job.closed":
            return all(end.id != body["end"] for end in self.machine.ends)
        known = {rule.id for rule in self.machine.rules}
        return any(each["rule"] not in known for each in body.get("passed", ()))

    def _flags_of_done(self, done: Done, entry: str) -> Iterator[Flag]:
        if not done.in_order or done.early:
            yield Flag(entry, "out-of-order", done.step)
        for rule in done.broken:
            yield Flag(entry, "rule-broken", done.step, rule)
        for rule in done.asked:
            yield Flag(entry, "passed", done.step, rule)
        for proof, entries in done.named:
            if not entries:
                yield Flag(entry, "proof-missing", done.step, name=proof.name)
            elif not self.judgement.evidence.fits(proof, entries, self.history.all):
                yield Flag(entry, "outside-limits", done.step, name=proof.name)
        other = self._other(done)
        if other:
            yield Flag(entry, "concurrent", done.step, other=other)

    def _closed_early(self, at: int, entry: LogEntry) -> bool:
        """Tell whether something was missing, in the eyes of the one who closed the job."""
        end = str(entry.body["end"])
        if all(end != each.id for each in self.machine.ends):
            return False
        view = View(self.judgement, self.history.past[at])
        then = JobState(
            conditions=view.conditions(),
            steps=[view.step(s)[0] for s in range(len(self.machine.steps))],
            tried=[],
            done_by=[],
            lost=[],
            tools_out=self._tools_out(self.history.past[at]),
            questions=self._questions(self.history.past[at]),
            exceptions=[],
            begun=[],
            closed=None,
            approved=None,
            heads=[],
        )
        return bool(may_end(self.machine, then, end))
