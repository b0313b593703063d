"""What is open and what is planned, as the phone has it: to compare the two languages."""

from collections.abc import Collection, Sequence
from dataclasses import asdict
from typing import Any

from twoturns.procedure.machine.machine import Machine, is_open
from twoturns.procedure.machine.plan import Look, Plan


def as_json(found: Plan) -> dict[str, Any]:
    """Return a plan as the phone has it; a refusal is left out: folds compare these."""
    items: list[dict[str, Any]] = []
    for item in found.items:
        if isinstance(item, Look):
            items.append({"kind": "look", "condition": item.condition})
            continue
        why = asdict(item.why)
        fields = {"todo": [], "redo": ["condition", "step", "entry"]}.get(why["kind"])
        if fields is None:
            whole = why["condition"] is not None
            fields = ["condition", "wanted", "step"] if whole else ["condition"]
        told = {key: why[key] for key in ["kind", *fields]}
        parts = [{"part": part, "count": count} for part, count in item.parts]
        items.append({"kind": "step", "step": item.step, "why": told, "parts": parts})
    blocked = found.blocked and {"why": found.blocked.why, "step": found.blocked.step}
    return {"items": items, "assumed": [list(each) for each in found.assumed], "blocked": blocked}


def open_steps(machine: Machine, conditions: Sequence[int], todo: Collection[int]) -> list[int]:
    """Return the steps that may be begun, in the order of `Machine.rank`."""
    steps = [at for at in range(len(machine.steps)) if is_open(machine, conditions, todo, at)]
    return sorted(steps, key=machine.rank)
