"""The log that one phone writes while it does a demo procedure, for tests that fold it."""

from typing import Any

from demo_procedures import bundle_of
from twoturns.procedure.machine.fold import LogEntry, fold
from twoturns.procedure.machine.machine import Machine, Proof
from twoturns.procedure.machine.plan import Do, Plan, plan_of
from twoturns.procedure.machine.state import JobState


class DemoLog:
    """
    Args:
        name: The demo procedure.
    """

    def __init__(self, name: str) -> None:
        self.bundle = bundle_of(name)
        self.machine = Machine.from_bundle(self.bundle)
        self.entries: list[LogEntry] = []
        self.write("job.opened", {})

    def copy(self) -> "DemoLog":
        """Return a log that goes on from here by itself."""
        other = object.__new__(DemoLog)
        other.bundle, other.machine = self.bundle, self.machine
        other.entries = list(self.entries)
        return other

    def write(self, kind: str, body: dict[str, Any]) -> str:
        last = [self.entries[-1].id] if self.entries else []
        entry = LogEntry(f"{len(self.entries):04}", last, kind, body, "good", "one", "phone")
        self.entries.append(entry)
        return entry.id

    def do(self, step_id: str, **more: Any) -> None:
        """Begin a step, prove what it asks for, and call it done."""
        step = self.machine.steps[self.machine.step_index[step_id]]
        self.write("step.begun", {"step": step_id})
        named = [self.prove(step_id, proof) for proof in step.proof if proof.kind != "confirm"]
        self.write("step.done", {"step": step_id, "proof": named, **more})

    def prove(self, step_id: str, proof: Proof) -> str:
        body = {"step": step_id, "name": proof.name}
        if proof.kind == "photo":
            return self.write("photo.taken", body)
        if proof.kind == "signature":
            return self.write("note.added", body)
        value = proof.ok[0] if proof.ok else proof.low or proof.high or "1"
        return self.write("reading.taken", {**body, "value": value})

    def do_until(self, step_id: str) -> None:
        """Do the ordinary steps in listed order, up to one; all of them if there is none such."""
        for step in self.machine.steps:
            if step.id == step_id:
                return
            if not step.undo:
                self.do(step.id)

    def see(self, condition: int, value: int) -> None:
        it = self.machine.conditions[condition]
        self.write("condition.seen", {"condition": it.id, "value": it.values[value]})

    def state(self) -> JobState:
        return fold(self.machine, self.entries)

    def planned(self) -> Plan:
        return plan_of(self.machine, self.state())

    def plan(self) -> list[str]:
        """Return the plan: numbers of steps, names of ways back."""
        found = self.planned()
        assert found.blocked is None
        steps = self.bundle["steps"]
        return [
            steps[item.step].get("number") or steps[item.step]["id"]
            for item in found.items
            if isinstance(item, Do)
        ]
