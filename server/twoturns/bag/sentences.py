"""
What an entry says, as a sentence. Names of a bundle become its labels; private values their text.
"""

from collections.abc import Callable, Mapping
from typing import Any, Final

from twoturns.bag.contents import Contents
from twoturns.ledger.entry import UNREAD, Entry
from twoturns.ledger.instants import instant
from twoturns.procedure import shape
from twoturns.trade.odometer import miles_on_dial
from twoturns.trade.triage import ADVICE_WORDS, NOTICED_WORDS, REASON_WORDS, TOLD_WORDS
from twoturns.words import t
from twoturns.words.en.bag import sentences as texts
from twoturns.words.en.work import flags

# The phone's twin is `work/sentences.ts`.
_FLAGS: Final = {
    "unread": (flags.UNREADABLE, flags.UNREADABLE_MEANS),
    "rule-broken": (flags.AGAINST_RULE, flags.AGAINST_RULE_MEANS),
    "outside-limits": (flags.OUTSIDE_LIMITS, flags.OUTSIDE_LIMITS_MEANS),
    "proof-missing": (flags.WITHOUT_PROOF, flags.WITHOUT_PROOF_MEANS),
    "out-of-order": (flags.BEFORE_TURN, flags.BEFORE_TURN_MEANS),
    "tool-lost": (flags.TOOL_UNACCOUNTED, flags.TOOL_UNACCOUNTED_MEANS),
    "forked": (flags.EXISTS_TWICE, flags.EXISTS_TWICE_MEANS),
    "doubted": (flags.NOT_ALLOWED, flags.NOT_ALLOWED_MEANS),
    "concurrent": (flags.TWO_PHONES, flags.TWO_PHONES_MEANS),
    "opened-again": (flags.OPENED_TWICE, flags.OPENED_TWICE_MEANS),
    "gap": (flags.GAP_BEFORE, flags.GAP_BEFORE_MEANS),
    "failed": (flags.FAILED_FIRST, flags.FAILED_FIRST_MEANS),
    "without-permit": (flags.WITHOUT_PERMIT, flags.WITHOUT_PERMIT_MEANS),
    "passed": (flags.PASSED_BY, flags.PASSED_BY_MEANS),
    "unknown": (flags.UNKNOWN_NAME, flags.UNKNOWN_NAME_MEANS),
    "reopened": (flags.REOPENED, flags.REOPENED_MEANS),
    "corrected": (flags.CORRECTED, flags.CORRECTED_MEANS),
    "gap-accepted": (flags.GAP_ACCEPTED, flags.GAP_ACCEPTED_MEANS),
}


def flagged(code: str, subject: str) -> tuple[str, str]:
    """Say what is odd about a step or the job by a code of the fold, and what that means."""
    fact, means = _FLAGS[code]
    return t(fact, subject=subject), t(means)


def distance(km: int, unit: str | None) -> str:
    """Return kilometres as they are on record, with what a dial that counts miles showed."""
    miles = miles_on_dial(km, unit)
    return t(texts.DISTANCE, km=km, in_miles=miles is not None, miles=miles or 0)


def said_anew(code: str, found: str | None) -> str:
    """Say what computing a reading anew came to."""
    return t(texts.ANEW[code], found=found or "")


class Words:
    """Speaks of one bundle's steps, tools and conditions."""

    def __init__(self, contents: Contents) -> None:
        bundle = contents.bundle
        self._said: Callable[[str], str] = contents.said
        self.steps: dict[str, shape.Step] = {one["id"]: one for one in bundle["steps"]}
        self._conditions = {one["id"]: one for one in bundle["conditions"]}
        self._rules = {one["id"]: one for one in bundle["rules"]}
        self._ends = {one["id"]: one["name"] for one in bundle["ends"]}
        self._tools = {one["slot"]: one["label"] for one in bundle["tools"]}
        self._teeth = {one["id"]: one.get("teeth") for one in bundle["drive"]["wheels"]}
        self._kit = {one["part"]: one["label"] for one in bundle["kit"]}

    def step(self, step: str) -> str:
        """Return a step's number and title."""
        known = self.steps.get(step)
        return f"{known['number']} {known['title']}" if known else t(texts.STEP, step=step)

    def proof(self, step: str, name: str) -> Mapping[str, Any]:
        """Return what the bundle asks for under this name; nothing if it does not ask for it."""
        known = self.steps.get(step)
        proofs = known["proof"] if known else ()
        return next((one for one in proofs if one["name"] == name), {})

    def wheel_teeth(self, wheel: str | None) -> int | None:
        """Return the teeth of a wheel of the drive; None for one without, or for none."""
        return self._teeth.get(wheel or "")

    def label(self, step: str, name: str) -> str:
        """Return what a step calls a proof; its name where the procedure is not known."""
        return str(self.proof(step, name).get("label", name))

    def is_signature(self, entry: Entry) -> bool:
        """Say whether an entry is the drawn signature that a step asks for."""
        body = entry.body
        return (
            entry.kind == "note.added"
            and {"step", "name"} <= body.keys()
            and self.proof(body["step"], body["name"]).get("kind") == "signature"
        )

    def part(self, part: str) -> str:
        """Return what the kit calls a part; its name where that is not known."""
        return str(self._kit.get(part, part))

    def end(self, end: str) -> str:
        """Return what the procedure calls one of its ends; its name where that is not known."""
        return str(self._ends.get(end, end))

    def says(self, entry: Entry) -> str:
        """Return the sentence of an entry; of a reading or a photo its name."""
        return _SENTENCES[entry.kind](self, entry.body)

    def _told(self, message: str, body: Mapping[str, Any], member: str, **more: str | int) -> str:
        """Say a sentence with the private words that an entry has as a member, if it has any."""
        words = self._said(body[member]["blob"]) if member in body else ""
        return t(message, told=member in body, words=words, **more)

    def _opened(self, body: Mapping[str, Any]) -> str:
        return t(
            texts.OPENED,
            engine_code=body["engine_code"],
            odometer=distance(body["odometer_km"], body.get("odometer_unit")),
            bay=body["bay"],
        )

    def _asked_about(self, body: Mapping[str, Any]) -> str:
        """Say what the caller said, and what they were told: codes of a newer app as they are."""
        said = [self._told(texts.ASKED_ABOUT, body, "words")]
        said += [NOTICED_WORDS.get(one, one) for one in body.get("noticed", ())]
        if "due" in body:
            said.append(t(texts.DUE.get(body["due"], body["due"])))
        if "advice" in body:
            said.append(ADVICE_WORDS.get(body["advice"], body["advice"]))
        said += [REASON_WORDS.get(one, one) for one in body.get("because", ())]
        said += [TOLD_WORDS.get(one, one) for one in body.get("told", ())]
        if "warning" in body:
            said.append(self._told(texts.WARNED, body, "warning"))
        return ". ".join(one.rstrip(".") for one in said)

    def _shared(self, body: Mapping[str, Any]) -> str:
        rows = [
            t(texts.PAGE_ROW, name=row["name"], says=" ".join(self._row(row)))
            for row in body["rows"]
        ]
        return t(texts.PAGE_SHARED, until=body["until"], rows="; ".join(rows))

    def _row(self, row: Mapping[str, Any]) -> list[str]:
        private = [self._said(row["value"]["blob"])] if "value" in row else []
        return [row["says"], *private] if "says" in row else private

    def tool(self, slot: str) -> str:
        """Return what the procedure calls a tool's place; its name where that is not known."""
        return str(self._tools.get(slot, slot))

    def _tool(self, body: Mapping[str, Any]) -> str:
        name = self.tool(body["tool"])
        return t(texts.TOOL, tool=name, id=body["id"]) if "id" in body else name

    def _fitted(self, body: Mapping[str, Any]) -> str:
        part, serial = self.part(body["part"]), body.get("serial", "")
        said = texts.FITTED_WITH_SERIAL if serial else texts.FITTED
        return t(said, part=part, lot=body["lot"], serial=serial)

    def _done(self, body: Mapping[str, Any]) -> str:
        passed = [
            self._told(texts.RULE_PASSED, one, "because", rule=self.rule(one["rule"]))
            for one in body.get("passed", ())
        ]
        return t(texts.DONE_PASSING, rules=", ".join(passed)) if passed else t(texts.DONE)

    def rule(self, rule: str) -> str:
        """Return a house rule in words; its name where the procedure is not known."""
        known = self._rules.get(rule)
        return t(texts.RULE, never=_joined(known["never"])) if known else rule

    def _failed(self, body: Mapping[str, Any]) -> str:
        known = self.steps.get(body["step"])
        failures = known["fails"] if known else ()
        says = next((one["says"] for one in failures if one["id"] == body["failure"]), None)
        failure = (says or body["failure"]).rstrip(".")
        return self._told(texts.FAILED, body, "words", failure=failure)

    def _seen(self, body: Mapping[str, Any]) -> str:
        known = self._conditions.get(body["condition"], {"label": body["condition"], "values": ()})
        values = {one["id"]: one["says"] for one in known["values"]}
        return t(
            texts.LOOKED,
            condition=known["label"],
            value=values.get(body["value"], body["value"]),
        )

    def _reading(self, body: Mapping[str, Any]) -> str:
        name, reading = self.label(body["step"], body["name"]), f"{body['value']} {body['unit']}"
        return t(texts.READING, name=name, reading=reading.rstrip())

    def _found(self, body: Mapping[str, Any]) -> str:
        offered = self._offered(body)
        return self._told(texts.FINDING_NOTED, body, "words", named=bool(offered), offered=offered)

    def _offered(self, body: Mapping[str, Any]) -> str:
        """Return what the procedure says of what was found; nothing if it did not offer it."""
        options = self.proof(body["step"], body.get("name", "")).get("options", ())
        said = [one["says"] for one in options if one["id"] == body.get("value")]
        known = self.steps.get(body["step"])
        fails = known["fails"] if known else ()
        said += [one["says"] for one in fails if one["id"] == body.get("failure")]
        return said[0].rstrip(".") if said else ""

    @staticmethod
    def way(how: str) -> str:
        """Return how the customer's word came; as it was written where that is not known."""
        return t(texts.WAYS[how]) if how in texts.WAYS else how

    @staticmethod
    def reason(why: str) -> str:
        """Return why a job is parked; as it was written where that is not known."""
        return t(texts.REASONS[why]) if why in texts.REASONS else why

    def _extra(self, body: Mapping[str, Any]) -> str:
        return self._told(
            texts.EXTRA_ADDED,
            body,
            "what",
            parted="part" in body,
            part=body.get("part", ""),
            timed="minutes" in body,
            minutes=body.get("minutes", 0),
        )

    def _extra_done(self, body: Mapping[str, Any]) -> str:
        reading = f"{body.get('value', '')} {body.get('unit', '')}".strip()
        return self._told(texts.EXTRA_DONE, body, "words", read=bool(reading), reading=reading)

    def _note(self, body: Mapping[str, Any]) -> str:
        is_asked = {"step", "name"} <= body.keys()
        name = self.label(body["step"], body["name"]) if is_asked else t(texts.NOTE)
        return self._told(texts.NOTED, body, "text", name=name)


def _joined(sentence: str) -> str:
    """Make a sentence of the procedure part of a longer one."""
    return sentence[:1].lower() + sentence[1:].rstrip(".")


_SENTENCES: Final[dict[str, Callable[[Words, Mapping[str, Any]], str]]] = {
    UNREAD: lambda words, body: t(texts.UNREAD),
    "job.opened": lambda words, body: words._opened(body),
    "enquiry.taken": lambda words, body: words._asked_about(body),
    "enquiry.declined": lambda words, body: words._told(texts.DECLINED, body, "words"),
    "job.taken": lambda words, body: t(texts.TAKEN_OVER),
    "tool.out": lambda words, body: t(texts.TOOL_OUT, tool=words._tool(body)),
    "tool.in": lambda words, body: t(texts.TOOL_IN, tool=words._tool(body)),
    "tool.lost": lambda words, body: words._told(
        texts.TOOL_LOST, body, "because", tool=words._tool(body)
    ),
    "part.fitted": lambda words, body: words._fitted(body),
    "step.begun": lambda words, body: t(texts.BEGUN),
    "step.done": lambda words, body: words._done(body),
    "step.failed": lambda words, body: words._failed(body),
    "step.reopened": lambda words, body: words._told(texts.OPENED_AGAIN, body, "because"),
    "condition.seen": lambda words, body: words._seen(body),
    "reading.taken": lambda words, body: words._reading(body),
    "reading.corrected": lambda words, body: words._told(
        texts.READING_CORRECTED, body, "because", value=body["value"]
    ),
    "photo.taken": lambda words, body: t(texts.PHOTO, name=words.label(body["step"], body["name"])),
    "note.added": lambda words, body: words._note(body),
    "review.returned": lambda words, body: words._told(
        texts.ASKED, body, "question", about="photo" in body, photo=body.get("photo", "")[:8]
    ),
    "review.answered": lambda words, body: words._told(texts.ANSWERED, body, "words"),
    "review.gap": lambda words, body: words._told(texts.ACCEPTED_UNPROVEN, body, "because"),
    "review.approved": lambda words, body: t(texts.APPROVED),
    "finding.noted": lambda words, body: words._found(body),
    "finding.answered": lambda words, body: words._told(
        texts.CUSTOMER_SAID, body, "words", answer=body["answer"], how=words.way(body["how"])
    ),
    "finding.settled": lambda words, body: words._told(
        texts.FINDING_SETTLED, body, "words", done=body["how"] == "done"
    ),
    "extra.added": lambda words, body: words._extra(body),
    "extra.done": lambda words, body: words._extra_done(body),
    "job.planned": lambda words, body: t(
        texts.PLANNED,
        promised="promised" in body,
        at=instant(body["promised"]) if "promised" in body else "",
        named="person" in body,
        person=body.get("person", "")[-6:],
    ),
    "job.parked": lambda words, body: words._told(
        texts.PARKED,
        body,
        "words",
        why=words.reason(body["why"]),
        parted="part" in body,
        part=body.get("part", ""),
    ),
    "job.resumed": lambda words, body: t(texts.RESUMED),
    "recall.borne": lambda words, body: words._told(texts.RECALLED_PART_ACCEPTED, body, "because"),
    "recall.followed": lambda words, body: words._told(
        texts.FOLLOWED_UP, body, "words", how=body["how"]
    ),
    "notice.settled": lambda words, body: words._told(texts.NOTICE_SETTLED, body, "because"),
    "page.shared": lambda words, body: words._shared(body),
    "page.ended": lambda words, body: t(texts.PAGE_ENDED),
    "job.closed": lambda words, body: words._told(
        texts.CLOSED_AS, body, "because", end=words.end(body["end"])
    ),
}
