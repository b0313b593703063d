"""Tells one job's story, line by line, as its people's phones would write it."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from twoturns.demo.scripted_phone import ScriptedPhone, Work, at_text
from twoturns.ledger.entry import Entry


@dataclass
class Teller:
    """
    Each verb of a script is a method.

    Args:
        work: The job.
        phones: All that the workshop has, by what scripts call them.
        mechanic: The phone that the job is worked on; another may go on with it.
        owner: Whose questions and approvals these are.
        story: `minutes_a_step`, `minutes` of steps that take other, `values` by step and proof.
    """

    work: Work
    phones: Mapping[str, ScriptedPhone]
    mechanic: ScriptedPhone
    owner: ScriptedPhone
    story: Mapping[str, Any]

    def tell(self, verb: str, how: Mapping[str, Any]) -> None:
        verbs: dict[str, Callable[..., None]] = {
            "run": self._run,
            "do": self._do,
            "fail": self._fail,
            "note": self._note,
            "wait": self._wait,
            "lose": self._lose,
            "find": self._find,
            "plan": self._plan,
            "park": self._park,
            "go_on": self._go_on,
            "question": self._question,
            "answer": self._answer,
            "gap": self._gap,
            "close": self._close,
            "approve": self._approve,
        }
        verbs[verb](**how)

    @property
    def _minutes(self) -> float:
        return float(self.story["minutes_a_step"])

    @property
    def _longer(self) -> Mapping[str, float]:
        longer: Mapping[str, float] = self.story.get("minutes", {})
        return longer

    def _run(self, until: str | None = None) -> None:
        self.work.run(
            self.mechanic,
            until=until,
            values=self.story["values"],
            minutes=self._minutes,
            longer=self._longer,
        )

    def _do(self, step: str, **how: Any) -> None:
        minutes = self._longer.get(step, self._minutes)
        self.work.do(self.mechanic, step, minutes=minutes, **how)

    def _fail(
        self,
        step: str,
        failure: str,
        words: str,
        values: Mapping[str, str],
        photos: Iterable[str] = (),
    ) -> None:
        given = {**values, **dict.fromkeys(photos, "")}
        self.work.fail(self.mechanic, step, failure, values=given, words=words)

    def _note(self, step: str, words: str) -> None:
        body = {"step": step, "text": self.mechanic.private("words", words)}
        self.work.write(self.mechanic, "note.added", body)

    def _wait(self, minutes: float) -> None:
        self.mechanic.wait(minutes)

    def _lose(self, step: str, tool: str, because: str) -> None:
        """A tool is lost in the middle of a step, which is then done with another."""
        self.work.begin(self.mechanic, step)
        self.mechanic.wait(self._minutes)
        body = {"tool": tool, "because": self.mechanic.private("words", because)}
        self.work.write(self.mechanic, "tool.lost", body)
        self._do(step)

    def _find(
        self,
        step: str,
        words: str,
        extra: Mapping[str, Any],
        says: str,
        how: str,
    ) -> None:
        """Something is found beside the work; the customer says yes or no to what it would take."""
        photo = self.work.photograph(self.mechanic, step, "finding").id
        noted = {"step": step, "words": self.mechanic.private("words", words), "photo": photo}
        found = self.work.write(self.mechanic, "finding.noted", noted)
        what = {**extra, "what": self.mechanic.private("words", extra["what"])}
        added = self.work.write(self.mechanic, "extra.added", {"finding": found.id, **what})
        self.mechanic.wait(12)
        answer: dict[str, Any] = {"finding": found.id, "answer": says, "how": how}
        if says == "yes":
            answer["extras"] = [added.id]
        self.work.write(self.mechanic, "finding.answered", answer)

    def _plan(self, in_minutes: float) -> None:
        """The owner says who does the job, and when it is promised."""
        promised = at_text(self.mechanic.clock + timedelta(minutes=in_minutes))
        self._owner_writes("job.planned", {"person": self.mechanic.person, "promised": promised})

    def _park(self, why: str, part: str, words: str) -> None:
        body = {"why": why, "part": part, "words": self.mechanic.private("words", words)}
        self.work.write(self.mechanic, "job.parked", body)

    def _go_on(self, phone: str) -> None:
        """Another phone of the workshop goes on with the job."""
        before, self.mechanic = self.mechanic, self.phones[phone]
        self.mechanic.clock = before.clock + timedelta(minutes=2)
        self.work.write(self.mechanic, "job.taken", {})

    def _close(self, end: str, because: str | None = None) -> None:
        body: dict[str, Any] = {"end": end}
        if because is not None:
            body["because"] = self.mechanic.private("words", because)
        self.work.write(self.mechanic, "job.closed", body)

    def _question(self, step: str, words: str) -> None:
        question = self.owner.private("words", words)
        self._owner_writes("review.returned", {"step": step, "question": question})

    def _answer(self, words: str) -> None:
        """The mechanic answers what the owner asked last."""
        asked = next(one for one in reversed(self.work.log) if one.kind == "review.returned")
        body = {"question": asked.id, "words": self.mechanic.private("words", words)}
        self.work.write(self.mechanic, "review.answered", body)

    def _gap(self, step: str, because: str) -> None:
        said = self.owner.private("words", because)
        self._owner_writes("review.gap", {"step": step, "because": said})

    def _approve(self) -> None:
        self._owner_writes("review.approved", {})

    def _owner_writes(self, kind: str, body: Mapping[str, Any]) -> Entry:
        """The owner hears of it a little later, and the mechanic goes on after that."""
        self.owner.clock = self.mechanic.clock + timedelta(minutes=3)
        said = self.work.write(self.owner, kind, body)
        self.mechanic.clock = self.owner.clock + timedelta(minutes=1)
        return said
