"""
The state of a job, as `fold` finds it, and what it allows: which step is refused and why, what
reopening a step costs, what is missing before an end.

Steps, conditions and rules are indices into the machine; entries are ids.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import asdict, dataclass
from typing import Literal

from twoturns.procedure.machine.machine import Machine, Pairs, holds

StepStatus = Literal["todo", "done", "waived"]


@dataclass(frozen=True, slots=True)
class Flag:
    """Something in a job that the owner must look at; `name` is a proof or a tool slot."""

    entry: str
    code: str
    step: int | None = None
    rule: int | None = None
    name: str | None = None
    other: str | None = None


@dataclass(frozen=True, slots=True)
class Question:
    """A `review.returned` that nobody answered yet. It may name a step that the bundle lacks."""

    entry: str
    step: int | None


@dataclass(frozen=True, slots=True)
class Begun:
    """A step that was begun and is not settled; `conditions` are those without its beginning."""

    step: int
    entry: str
    conditions: list[int]


@dataclass(frozen=True, slots=True)
class Loss:
    """Why a step that was done is todo again: the entry, and the condition it took away."""

    entry: str
    condition: int | None


@dataclass(frozen=True, slots=True)
class Closed:
    """The newest `job.closed`; `changed` when work came in that it has not seen."""

    entry: str
    end: str
    changed: bool


@dataclass(frozen=True, slots=True)
class JobState:
    """
    What is known of a job. `conditions` holds a mask of possible values for each.

    `tried` tells of each step whether it was ever done or failed: its single-use parts are used.
    """

    conditions: list[int]
    steps: list[StepStatus]
    tried: list[bool]
    done_by: list[list[str]]
    lost: list[Loss | None]
    tools_out: list[str]
    questions: list[Question]
    exceptions: list[Flag]
    begun: list[Begun]
    closed: Closed | None
    approved: Literal["approved", "changed"] | None
    heads: list[str]

    @property
    def todo(self) -> frozenset[int]:
        """The steps that are todo; undo steps always are."""
        return frozenset(at for at, status in enumerate(self.steps) if status == "todo")

    def before(self, step: int) -> list[int]:
        """The conditions a step is judged on: its own beginning is left out."""
        return next((each.conditions for each in self.begun if each.step == step), self.conditions)

    def to_json(self) -> dict[str, object]:
        """Return plain JSON; what a flag does not say is absent."""
        flags = [
            {key: value for key, value in asdict(flag).items() if value is not None}
            for flag in self.exceptions
        ]
        return {**asdict(self), "exceptions": flags}


@dataclass(frozen=True, slots=True)
class Refusal:
    """
    The first thing that keeps a step from being begun.

    `done`: it is not todo. `order`: `step` comes first. `need`, `move`, `rule`: `condition` must be
    inside `wanted` and may be any of `possible`; `by` are the steps that bring it there (none for a
    rule that forbids always). `no-change`: an undo step that would undo nothing.
    """

    why: Literal["done", "order", "need", "move", "rule", "no-change"]
    step: int | None = None
    condition: int | None = None
    possible: int = 0
    wanted: int = 0
    rule: int | None = None
    ask: bool = False
    by: tuple[int, ...] = ()


def refusal(machine: Machine, state: JobState, step: int) -> Refusal | None:
    """Return the first thing to put right before a step, house rules last; None if it is open."""
    return refusal_on(machine, state.before(step), state.todo, step)


def refusal_on(
    machine: Machine, conditions: Sequence[int], todo: Collection[int], step: int
) -> Refusal | None:
    """Return the same of any state."""
    it = machine.steps[step]
    idle = all(conditions[c] == 1 << v for c, v in it.effect)
    if not it.undo and step not in todo and (it.must or idle):
        return Refusal("done")
    for earlier in machine.before[step]:
        if earlier in todo:
            return Refusal("order", step=earlier)
    found = unmet(machine, conditions, it.guard, "need")
    found = found or unmet(machine, conditions, it.moves, "move")
    if found is None and it.undo and idle:
        return Refusal("no-change")
    for rule in it.rules:
        ask = machine.rules[rule.rule].ask
        found = found or unmet(machine, conditions, rule.guard, "rule", rule.rule, ask=ask)
    return found


def unmet(
    machine: Machine,
    conditions: Sequence[int],
    pairs: Pairs,
    why: Literal["need", "move", "rule"],
    rule: int | None = None,
    *,
    ask: bool = False,
) -> Refusal | None:
    """Return the first of these conditions that may be outside its mask."""
    for condition, wanted in pairs:
        possible = conditions[condition]
        if possible & ~wanted:
            by = tuple(machine.bringers(condition, wanted))
            return Refusal(why, None, condition, possible, wanted, rule, ask, by)
    return None


@dataclass(frozen=True, slots=True)
class Missing:
    """One thing that keeps a job from an end; the fields its kind needs are set."""

    kind: Literal["step", "condition", "several", "tool", "question"]
    step: int | None = None
    condition: int | None = None
    possible: int = 0
    wanted: int = 0
    slot: str | None = None
    entry: str | None = None


def may_end(machine: Machine, state: JobState, end_id: str) -> list[Missing]:
    """
    Return what is missing before a job may end so; nothing means that it may.

    An end of all must-steps also asks that no engine condition has several possible values, that
    no tool is out and that no question is open; any other only its own conditions.
    """
    end = machine.end(end_id)
    missing: list[Missing] = []
    if end.all_must:
        missing += [Missing("question", q.step, entry=q.entry) for q in state.questions]
        missing += [
            Missing("step", at)
            for at, step in enumerate(machine.steps)
            if step.must and state.steps[at] == "todo"
        ]
    missing += [
        Missing("condition", condition=c, possible=state.conditions[c], wanted=wanted)
        for c, wanted in end.conditions
        if not holds(((c, wanted),), state.conditions)
    ]
    if end.all_must:
        missing += [
            Missing("several", condition=c, possible=mask)
            for c, mask in enumerate(state.conditions)
            if mask & (mask - 1) and not machine.conditions[c].proof
        ]
        missing += [Missing("tool", slot=slot) for slot in state.tools_out]
    return missing
