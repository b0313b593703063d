"""
What an entry says, as a sentence. Names of a bundle become its labels; private values their text.
"""

from collections.abc import Callable, Mapping
from typing import Any, Final

from twoturns.bag.contents import Contents
from twoturns.ledger.entry import UNREAD, Entry

# The others are what the entry says itself: that a step failed, or a rule was passed.
_EXCEPTIONS: Final = {
    "out-of-order": "done when it was not open",
    "rule-broken": "against a house rule",
    "proof-missing": "done without its proof",
    "outside-limits": "a reading outside its limits",
    "concurrent": "someone else's work meets it",
    "opened-again": "opens a job that was open already",
    "gap": "an entry before it is missing",
    "forked": "its device wrote two entries under one number",
    "doubted": "its device might not write it",
    "unknown": "names what the procedure does not have",
    "unread": "only a newer program can read it: update this one",
}


def exception(code: str) -> str | None:
    """Say what is odd about an entry; None where its own sentence says it."""
    return _EXCEPTIONS.get(code)


AGREES: Final = "computed anew from what it kept: the same"
_ANEW: Final = {
    "same": AGREES,
    "differs": "computed anew from what it kept it is not the same: {}",
    "refused": "computed anew from what it kept it gives no value ({})",
    "other-edition": "of another edition of its instrument than is known here",
    "not-computed": "not computed anew: too many readings of the job were, before it",
    "way-not-asked": "the procedure does not let it be taken so",
    "seen-twice": "it names one thing that it saw twice",
    "nothing-kept": "nothing was kept of it",
    "too-large": "what it saw is larger than any instrument's",
    "sheet-unseen": "what it saw is not in this bag",
    "sounds-unseen": "the sounds it was computed from are not in this bag",
    "sheet-lacks": "its sheet lacks what it is computed from",
    "sheet-unread": "its sheet cannot be read",
    "stroke-unread": "one of its strokes is no sheet",
    "other-instrument": "its sheet is another instrument's",
    "no-number": "its value is no number",
    "other-window": "it was heard against another window than the procedure's",
    "other-photo": "it was measured on another photo than the reading names",
    "other-wheel": "it was measured on another wheel than the procedure's",
}


def said_anew(code: str, found: str | None) -> str:
    """Say what computing a reading anew came to."""
    return _ANEW[code].format(found)


class Words:
    """Speaks of one bundle's steps, tools and conditions."""

    def __init__(self, contents: Contents) -> None:
        bundle = contents.bundle
        self._said: Callable[[str], str] = contents.said
        self.steps: dict[str, Mapping[str, Any]] = {one["id"]: one for one in bundle["steps"]}
        self._conditions = {one["id"]: one for one in bundle["conditions"]}
        self._rules = {one["id"]: one for one in bundle["rules"]}
        self._ends = {one["id"]: one["name"] for one in bundle["ends"]}
        self._tools = {one["slot"]: one["label"] for one in bundle["tools"]}
        self._teeth = {one["id"]: one.get("teeth") for one in bundle["drive"]["wheels"]}
        self._kit = {one["part"]: one["label"] for one in bundle["kit"]}

    def step(self, step: str) -> str:
        """Return a step's number and title."""
        known = self.steps.get(step)
        return f"{known['number']} {known['title']}" if known else f"step {step}"

    def proof(self, step: str, name: str) -> Mapping[str, Any]:
        """Return what the bundle asks for under this name; nothing if it does not ask for it."""
        proofs = self.steps.get(step, {}).get("proof", ())
        return next((one for one in proofs if one["name"] == name), {})

    def wheel_teeth(self, wheel: str | None) -> int | None:
        """Return the teeth of a wheel of the drive; None for one without, or for none."""
        return self._teeth.get(wheel or "")

    def label(self, step: str, name: str) -> str:
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
        return str(self._kit.get(part, part))

    def end(self, end: str) -> str:
        return str(self._ends.get(end, end))

    def says(self, entry: Entry) -> str:
        """Return the sentence of an entry; of a reading or a photo its name."""
        return _SENTENCES[entry.kind](self, entry.body)

    def _private(self, body: Mapping[str, Any], name: str) -> str:
        return f": {self._said(body[name]['blob'])}" if name in body else ""

    def _opened(self, body: Mapping[str, Any]) -> str:
        return (
            f"Opened: engine code {body['engine_code']}, {body['odometer_km']} km, "
            f"bay {body['bay']}"
        )

    def tool(self, slot: str) -> str:
        return str(self._tools.get(slot, slot))

    def _tool(self, body: Mapping[str, Any]) -> str:
        name = self.tool(body["tool"])
        return f"{name} ({body['id']})" if "id" in body else name

    def _fitted(self, body: Mapping[str, Any]) -> str:
        serial = f", serial {body['serial']}" if "serial" in body else ""
        return f"{self.part(body['part'])} fitted, lot {body['lot']}{serial}"

    def _done(self, body: Mapping[str, Any]) -> str:
        passed = (
            f", passing the rule {self.rule(one['rule'])}{self._private(one, 'because')}"
            for one in body.get("passed", ())
        )
        return "".join(("Done", *passed))

    def rule(self, rule: str) -> str:
        known = self._rules.get(rule)
        return f"\u201cnever {_joined(known['never'])}\u201d" if known else rule

    def _failed(self, body: Mapping[str, Any]) -> str:
        failures = self.steps.get(body["step"], {}).get("fails", ())
        says = next((one["says"] for one in failures if one["id"] == body["failure"]), None)
        return f"Failed: {(says or body['failure']).rstrip('.')}{self._private(body, 'words')}"

    def _seen(self, body: Mapping[str, Any]) -> str:
        known = self._conditions.get(body["condition"], {"label": body["condition"], "values": ()})
        values = {one["id"]: one["says"] for one in known["values"]}
        return f"Looked: {known['label']}: {values.get(body['value'], body['value'])}"

    def _reading(self, body: Mapping[str, Any]) -> str:
        return f"{self.label(body['step'], body['name'])}: {body['value']} {body['unit']}".rstrip()

    def _note(self, body: Mapping[str, Any]) -> str:
        name = self.label(body["step"], body["name"]) if {"step", "name"} <= body.keys() else "Note"
        return f"{name}{self._private(body, 'text')}"


def _joined(sentence: str) -> str:
    """Make a sentence of the procedure part of a longer one."""
    return sentence[:1].lower() + sentence[1:].rstrip(".")


_SENTENCES: Final[dict[str, Callable[[Words, Mapping[str, Any]], str]]] = {
    UNREAD: lambda words, body: "Says what this program cannot read",
    "job.opened": lambda words, body: words._opened(body),
    "job.taken": lambda words, body: "Another person or device goes on with the job",
    "tool.out": lambda words, body: f"{words._tool(body)} went into the engine bay",
    "tool.in": lambda words, body: f"{words._tool(body)} came back",
    "tool.lost": lambda words, body: (
        f"{words._tool(body)} is lost{words._private(body, 'because')}"
    ),
    "part.fitted": lambda words, body: words._fitted(body),
    "step.begun": lambda words, body: "Begun",
    "step.done": lambda words, body: words._done(body),
    "step.failed": lambda words, body: words._failed(body),
    "step.reopened": lambda words, body: f"Opened again{words._private(body, 'because')}",
    "condition.seen": lambda words, body: words._seen(body),
    "reading.taken": lambda words, body: words._reading(body),
    "reading.corrected": lambda words, body: (
        f"A reading corrected to {body['value']}{words._private(body, 'because')}"
    ),
    "photo.taken": lambda words, body: f"Photo: {words.label(body['step'], body['name'])}",
    "note.added": lambda words, body: words._note(body),
    "review.returned": lambda words, body: f"The owner asks{words._private(body, 'question')}",
    "review.answered": lambda words, body: f"Answered{words._private(body, 'words')}",
    "review.gap": lambda words, body: (
        f"The owner accepts that it was not proven{words._private(body, 'because')}"
    ),
    "review.approved": lambda words, body: "Approved",
    "recall.borne": lambda words, body: (
        f"The owner takes over a recalled part{words._private(body, 'because')}"
    ),
    "job.closed": lambda words, body: (
        f"Closed as {words.end(body['end'])}{words._private(body, 'because')}"
    ),
}
