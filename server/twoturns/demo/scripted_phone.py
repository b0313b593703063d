"""
Jobs done by a script: what a phone would write if someone worked through a bundle's machine.

The demo is filled this way, and tests replay whole jobs. Entries are signed and linked as a
phone's are; which step comes next is asked of the very fold and plan that phones run. Nothing
here reads a clock or makes chance: times, salts and pictures come in.
"""

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from twoturns.demo import scripted_measures
from twoturns.instruments.sharpness import Quality
from twoturns.ledger import base64url, canonical, entry, keys, private
from twoturns.ledger.entry import MAX_AFTER, Entry
from twoturns.ledger.keys import SigningKey
from twoturns.procedure import shape
from twoturns.procedure.machine.fold import LogEntry, fold
from twoturns.procedure.machine.machine import Machine
from twoturns.procedure.machine.plan import Look, Plan, PlanItem, plan_of
from twoturns.procedure.machine.state import JobState

Values = Mapping[str, str]
_KM_A_MINUTE = 0.6  # chosen: a road test through a small town and out of it
_PEN = "M40 130C80 30 120 30 130 110S180 160 210 80S260 60 290 120"  # a signature


@dataclass(frozen=True)
class Photo:
    """A JPEG, its size in pixels, and how sharp and bright a phone judges it; None: it does not."""

    data: bytes
    width: int
    height: int
    quality: Quality | None = None


class ScriptedPhone:
    """
    A device: its key, its count of entries, its clock, and what it has not sent yet.

    Args:
        key: The device's key.
        workshop: The workshop's id.
        person: Who holds it.
        clock: Its time; a script moves it on.
        chance: Returns so many random bytes, for salts.
    """

    def __init__(
        self,
        key: SigningKey,
        workshop: str,
        person: str,
        clock: datetime,
        chance: Callable[[int], bytes],
    ) -> None:
        self.key, self.workshop, self.person, self.clock = key, workshop, person, clock
        self._chance = chance
        self.seq = 0
        self.lines: list[str] = []
        self.private_values: list[bytes] = []
        self.photos: list[bytes] = []

    def wait(self, minutes: float) -> None:
        self.clock += timedelta(minutes=minutes)

    def private(self, name: str, value: str) -> dict[str, str]:
        """Make a private value, to be sent with the next batch, and return its ref."""
        data = private.write(name, value, self._chance(private.SALT_BYTES))
        self.private_values.append(data)
        return {"blob": private.blob_id(data)}

    def write(
        self,
        kind: str,
        body: Mapping[str, Any],
        *,
        job: str | None = None,
        after: Iterable[str] = (),
    ) -> Entry:
        """Sign the next entry. `after` are the heads of its log that the device has seen."""
        self.seq += 1
        members = {
            "after": sorted(after)[:MAX_AFTER],
            "at": at_text(self.clock),
            "body": dict(body),
            "job": job,
            "kind": kind,
            "person": self.person,
            "seq": self.seq,
            "workshop": self.workshop,
        }
        said = entry.sign(members, self.key)
        self.lines.append(said.line)
        return said

    def enrol(self, invitation: str, secret: SigningKey) -> Entry:
        """Write the entry that lets this device in on an invitation."""
        message = keys.enrolment_message(
            device=self.key.thumbprint, invitation=invitation, workshop=self.workshop
        )
        body = {
            "key": self.key.key,
            "invitation": invitation,
            "countersign": base64url.encode(secret.sign(message)),
        }
        return self.write("device.enrolled", body)


def at_text(moment: datetime) -> str:
    """Return a UTC time as entries write it."""
    return moment.strftime("%Y-%m-%dT%H:%M:%S.") + f"{moment.microsecond // 1000:03d}Z"


@dataclass
class Work:
    """
    A job in hand: its log so far, and what writes more of it.

    Args:
        bundle: The compiled bundle of the job.
        job: The job's id.
        picture: Makes the photo of a proof, of a step's id and the proof's name.
        tools: The registered tools: `tool`, `type`, and `low` and `high` of a wrench.
        lots: The lot of each part that is scanned.
        takes_time: Whether a wait of ten minutes, or a drive, moves the phone's clock on.
    """

    bundle: shape.Bundle
    job: str
    picture: Callable[[str, str], Photo]
    tools: Sequence[Mapping[str, str]] = ()
    lots: Mapping[str, str] = field(default_factory=dict)
    takes_time: bool = True
    log: list[Entry] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.machine = Machine.from_bundle(self.bundle)
        self._steps = {one["id"]: one for one in self.bundle["steps"]}
        self._heads: list[str] = []
        self._folded: tuple[int, JobState] | None = None
        self._planned: tuple[int, str, Plan] | None = None
        self._out: set[str] = set()

    def state(self) -> JobState:
        """Fold the log so far."""
        if self._folded is None or self._folded[0] != len(self.log):
            self._folded = (len(self.log), fold(self.machine, [logged(one) for one in self.log]))
        return self._folded[1]

    def write(self, phone: ScriptedPhone, kind: str, body: Mapping[str, Any]) -> Entry:
        """Write an entry that follows all the job has."""
        said = phone.write(kind, body, job=self.job, after=self._heads)
        self._heads = [said.id]
        self.log.append(said)
        if kind == "tool.out":
            self._out.add(body["tool"])
        elif kind in ("tool.in", "tool.lost"):
            self._out.discard(body["tool"])
        return said

    def open(self, phone: ScriptedPhone, sha256: str, vehicle: Mapping[str, Any]) -> None:
        """Open it: `vehicle` has vin, plate, odometer_km, engine_code, bay, customer?, phone?."""
        body = {
            "bundle": sha256,
            "vin": phone.private("vin", vehicle["vin"]),
            "plate": phone.private("plate", vehicle["plate"]),
            **{name: vehicle[name] for name in ("odometer_km", "engine_code", "bay")},
        }
        for name in ("customer", "phone"):
            if name in vehicle:
                body[name] = phone.private(name, vehicle[name])
        self.write(phone, "job.opened", body)

    def next_step(self, end: str = "finished") -> str | None:
        """
        Return the step the phone would show first, or None when nothing is left to do.

        Raises:
            ValueError: If something must be looked at first, or no step leads on.
        """
        planned = self._plan(end)
        if planned.blocked:
            raise ValueError(f"no way to {end!r}: {planned.blocked}")
        if not planned.items:
            return None
        first = planned.items[0]
        if isinstance(first, Look):
            what = self.machine.conditions[first.condition].id
            raise ValueError(f"look at {what!r} first")  # noqa: TRY004 - no type: the job stands so
        return self.machine.steps[first.step].id

    def look(
        self,
        phone: ScriptedPhone,
        seen: Values = {},  # noqa: B006 - only read
        end: str = "finished",
    ) -> None:
        """Look at what the plan asks to be looked at; what `seen` does not name is as assumed."""
        planned = self._plan(end)
        assumed = dict(planned.assumed)
        for item in planned.items:
            if isinstance(item, Look):
                condition = self.machine.conditions[item.condition]
                value = seen.get(condition.id, condition.values[assumed[item.condition]])
                body = {"condition": condition.id, "value": value}
                self.write(phone, "condition.seen", body)

    def _plan(self, end: str) -> Plan:
        """Return the plan; as long as it was followed, what is left of it."""
        if self._planned is None or self._planned[:2] != (len(self.log), end):
            self._planned = (len(self.log), end, plan_of(self.machine, self.state(), end))
        return self._planned[2]

    def _followed(self, step: str, before: int) -> None:
        """Keep the rest of a plan whose first step was done as planned: planning is slow."""
        if self._planned is None or self._planned[0] != before:
            return
        _, end, planned = self._planned
        if planned.items[:1] and self._is_to_do(planned.items[0], step):
            rest = replace(planned, items=planned.items[1:])
            self._planned = (len(self.log), end, rest)

    def _is_to_do(self, item: PlanItem, step: str) -> bool:
        return not isinstance(item, Look) and self.machine.steps[item.step].id == step

    def begin(self, phone: ScriptedPhone, step: str) -> None:
        """Take the step's tools out and begin it."""
        for slot in self._steps[step]["tools_out"]:
            if slot not in self._out:
                self.write(phone, "tool.out", {"tool": slot})
        self.write(phone, "step.begun", {"step": step})

    def do(
        self,
        phone: ScriptedPhone,
        step: str,
        *,
        values: Values = {},  # noqa: B006 - only read
        minutes: float = 4,
        leave_out: Iterable[str] = (),
        passing: Mapping[str, str] = {},
    ) -> Entry:
        """
        Do a step with all its proofs, each as asked for.

        Args:
            phone: Who does it.
            step: Its id.
            values: Other values than the usual ones, by the proof's name.
            minutes: How long it takes, without what its waits and drives take.
            leave_out: Proofs that are not taken.
            passing: House rules that ask and are passed, and why.
        """
        before = len(self.log)
        self.begin(phone, step)
        proofs = [one for one in self._steps[step]["proof"] if one["name"] not in leave_out]
        body: dict[str, Any] = {
            "step": step,
            "proof": self._prove_all(phone, step, proofs, values, minutes),
        }
        if passing:
            body["passed"] = [
                {
                    "rule": rule,
                    "because": phone.private("words", because),
                    "photo": self.photograph(phone, step, "passed").id,
                }
                for rule, because in passing.items()
            ]
        done = self.write(phone, "step.done", body)
        for slot in self._steps[step]["tools_in"]:
            self.write(phone, "tool.in", {"tool": slot})
        if not (values or leave_out or passing):
            self._followed(step, before)
        return done

    def fail(
        self,
        phone: ScriptedPhone,
        step: str,
        failure: str,
        *,
        values: Values = {},  # noqa: B006 - only read
        words: str | None = None,
    ) -> Entry:
        """Begin a step, take the readings and photos that are named, and say how it failed."""
        self.begin(phone, step)
        proofs = [one for one in self._steps[step]["proof"] if one["name"] in values]
        body: dict[str, Any] = {"step": step, "failure": failure}
        body["proof"] = self._prove_all(phone, step, proofs, values, minutes=4)
        if words is not None:
            body["words"] = phone.private("words", words)
        return self.write(phone, "step.failed", body)

    def run(
        self,
        phone: ScriptedPhone,
        *,
        until: str | None = None,
        end: str = "finished",
        values: Mapping[str, Values] = {},
        minutes: float = 4,
        longer: Mapping[str, float] = {},
    ) -> None:
        """
        Do one step after the other in the order of the plan, up to a step, or to an end.

        `longer` has the minutes of the steps that take other than the others.

        Raises:
            ValueError: As `next_step`.
        """
        while (step := self.next_step(end)) not in (None, until):
            takes = longer.get(str(step), minutes)
            self.do(phone, str(step), values=values.get(str(step), {}), minutes=takes)

    def _prove_all(
        self,
        phone: ScriptedPhone,
        step: str,
        proofs: Sequence[Mapping[str, Any]],
        values: Values,
        minutes: float,
    ) -> list[str]:
        """Give one proof after the other, the step's minutes between them; return their entries."""
        share = minutes / (len(proofs) + 1)
        entries = []
        for proof in proofs:
            value = values.get(proof["name"])
            phone.wait(share + (lasts_minutes(proof, value) if self.takes_time else 0))
            entries.append(self._prove(phone, step, proof, value))
        phone.wait(share)
        return [one.id for one in entries if one is not None]

    def _prove(
        self, phone: ScriptedPhone, step: str, proof: Mapping[str, Any], value: str | None
    ) -> Entry | None:
        kind, name = proof["kind"], proof["name"]
        if kind == "confirm":
            return None
        if kind == "photo":
            return self.photograph(phone, step, name)
        if kind == "signature":
            text = phone.private("signature", value or _PEN)
            return self.write(phone, "note.added", {"step": step, "name": name, "text": text})
        if kind == "scan" and "part" in proof:
            lot = value or self.lots.get(proof["part"], "LOT-1")
            body = {"step": step, "name": name, "part": proof["part"], "lot": lot}
            return self.write(phone, "part.fitted", body)
        return self._read(phone, step, proof, value)

    def _read(
        self, phone: ScriptedPhone, step: str, proof: Mapping[str, Any], value: str | None
    ) -> Entry:
        body = {
            "step": step,
            "name": proof["name"],
            "value": value if value is not None else usual_value(proof),
            "unit": proof.get("unit", ""),
            **{side: proof[side] for side in ("low", "high") if side in proof},
        }
        tool = self._measured_with(proof)
        if tool:
            body["tool"] = tool
        if proof.get("by", ["hand"])[0] != "hand":
            body |= self._by_instrument(phone, step, proof, body["value"])
        return self.write(phone, "reading.taken", body)

    def _by_instrument(
        self, phone: ScriptedPhone, step: str, proof: Mapping[str, Any], value: str
    ) -> dict[str, object]:
        """Measure with the first instrument that the proof names; return its part of the body."""
        by, more = proof["by"][0], {}
        take = hashlib.sha256(f"{phone.key.thumbprint} {phone.seq}".encode()).digest()[:8]
        if by == "pluck":
            measured = scripted_measures.heard(proof, value, take)
        elif by == "turn":
            measured = scripted_measures.turned(value, proof["unit"], take)
        else:
            wheels = {one["id"]: one for one in self.bundle["drive"]["wheels"]}
            taken = self.photograph(phone, step, proof["name"])
            photo = (taken.body["blob"], taken.body["width"], taken.body["height"])
            measured = scripted_measures.tapped(wheels[proof["wheel"]], value, photo)
            more = {"photo": taken.id}
        kept = [("application/json", canonical.dumps(measured.sheet))]
        kept += [("audio/wav", clip) for clip in measured.clips]
        phone.photos += [data for _, data in kept]
        saw = [
            {"blob": private.blob_id(data), "size": len(data), "type": kind} for kind, data in kept
        ]
        return {"value": measured.value, "by": by, "saw": saw, **more}

    def _measured_with(self, proof: Mapping[str, Any]) -> str | None:
        """Return a tool of the type asked for that reaches the target, one in hand first."""
        reaching = [
            one["tool"]
            for one in self.tools
            if one["type"] == proof.get("tool") and _reaches(one, proof.get("target"))
        ]
        in_hand = {one.get("tag") for one in self.bundle["tools"] if one["slot"] in self._out}
        return min(reaching, key=lambda tool: tool not in in_hand, default=None)

    def photograph(self, phone: ScriptedPhone, step: str, name: str) -> Entry:
        """Take the photo of a step that has this name."""
        photo = self.picture(step, name)
        phone.photos.append(photo.data)
        body: dict[str, Any] = {
            "step": step,
            "name": name,
            "blob": private.blob_id(photo.data),
            "size": len(photo.data),
            "type": "image/jpeg",
            "width": photo.width,
            "height": photo.height,
            "how": "live",
        }
        if photo.quality is not None:
            body["quality"] = asdict(photo.quality)
        return self.write(phone, "photo.taken", body)


def _reaches(tool: Mapping[str, str], target: str | None) -> bool:
    if target is None or "low" not in tool:
        return True
    return Decimal(tool["low"]) <= Decimal(target) <= Decimal(tool["high"])


def usual_value(proof: Mapping[str, Any]) -> str:
    """
    Return a value that a proof is content with: its target, or one inside its limits.

    >>> usual_value({"kind": "reading", "low": "24.96", "high": "27.04"})
    '26.00'
    >>> usual_value({"options": [{"id": "hard", "ok": False}, {"id": "free", "ok": True}]})
    'free'
    """
    if "options" in proof:
        return next(str(one["id"]) for one in proof["options"] if one["ok"])
    if "target" in proof:
        return str(proof["target"])
    limits = [proof[side] for side in ("low", "high") if side in proof]
    if not limits:
        return "seen"
    places = max(len(one.partition(".")[2]) for one in limits)
    middle = sum(map(Decimal, limits)) / len(limits)
    return f"{middle:.{places}f}"


def lasts_minutes(proof: Mapping[str, Any], value: str | None) -> float:
    """
    Return how long a proof keeps its mechanic whatever the step's work: a wait, or a drive.

    >>> lasts_minutes({"kind": "wait", "low": "10", "unit": "min"}, None)
    10.0
    >>> lasts_minutes({"kind": "reading", "unit": "km"}, "12")
    20.0
    """
    if proof["kind"] == "wait":
        return float(proof["low"])
    is_driven = proof["kind"] == "reading" and proof.get("unit") == "km"
    return float(value or usual_value(proof)) / _KM_A_MINUTE if is_driven else 0


def logged(said: Entry, standing: str = "good") -> LogEntry:
    """Return what the fold reads of an entry."""
    return LogEntry(
        id=said.id,
        after=said.after,
        kind=said.kind,
        body=said.body,
        standing=standing,
        person=said.person,
        device=said.device,
    )
