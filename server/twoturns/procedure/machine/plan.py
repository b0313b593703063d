"""
The plan: what is to be done to bring a job to an end, and why each part of it.

First a look at each engine condition that has several possible values. Then the shortest way over
open steps to the end; among equals the one first in listed order, undo steps after ordinary ones.
On a straight job that is the listed order. A house rule that stops is in the way like a need; one
that asks is not: the bay asks.

`client/src/procedure/plan.ts` is the same, rule for rule.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from twoturns.procedure.machine.machine import Machine
from twoturns.procedure.machine.search import States, shortest_way
from twoturns.procedure.machine.state import JobState, Loss, Refusal, refusal_on, unmet

# What a phone may look at before it says that it does not know: a second or two on a slow one.
MOST_STATES = 20_000


@dataclass(frozen=True, slots=True)
class Look:
    """See how a condition is: it may be any of several values."""

    condition: int


@dataclass(frozen=True, slots=True)
class Why:
    """
    Why a step is in the plan.

    `todo`: it was not done yet. `redo`: `condition` was taken away, by `entry` of the log or by
    `step` of this plan (both None: two phones disagreed). `undo`: `step` of this plan needs
    `condition` inside `wanted` (None: the end does); no condition: it only clears the way.
    """

    kind: Literal["todo", "redo", "undo"]
    condition: int | None = None
    wanted: int | None = None
    step: int | None = None
    entry: str | None = None


@dataclass(frozen=True, slots=True)
class Do:
    """Do a step; `parts` are what it uses up again: each single-use part, and how many new ones."""

    step: int
    why: Why
    parts: tuple[tuple[str, int], ...] = ()


PlanItem = Look | Do


@dataclass(frozen=True, slots=True)
class Blocked:
    """
    There is no way, or (`too-long`) none was found: the owner decides.

    `step` is the first that is todo and `refusal` what it lacks; without a step, it is the end
    that lacks it.
    """

    why: Literal["no-way", "too-long"]
    step: int | None
    refusal: Refusal | None


@dataclass(frozen=True, slots=True)
class Plan:
    """The items in order. What comes after looks takes each condition at its value in `assumed`."""

    items: list[PlanItem]
    assumed: list[tuple[int, int]]
    blocked: Blocked | None


def plan_of(machine: Machine, state: JobState, end: str = "finished") -> Plan:
    """Return the plan of a job."""
    return plan(machine, state.conditions, state.todo, end, lost=state.lost, tried=state.tried)


def plan(
    machine: Machine,
    conditions: Sequence[int],
    todo: Collection[int],
    end: str = "finished",
    *,
    lost: Sequence[Loss | None] = (),
    tried: Sequence[bool] = (),
    limit: int = MOST_STATES,
) -> Plan:
    """
    Return the plan from a state to an end.

    Args:
        machine: The machine of the bundle.
        conditions: The possible values of each condition, as masks.
        todo: The steps that are todo.
        end: The end to reach, by its name.
        lost: Why steps that were done are todo again, from the fold.
        tried: Which steps were ever done or failed, from the fold.
        limit: How many states may be looked at.
    """
    several = [
        c
        for c, mask in enumerate(conditions)
        if mask & (mask - 1) and not machine.conditions[c].proof
    ]
    values = [(mask & -mask).bit_length() - 1 for mask in conditions]
    states = States(machine, machine.end(end))
    start = states.packed(values, todo)
    way = shortest_way(states, start, limit)
    items: list[PlanItem] = [Look(c) for c in several]
    assumed = [(c, values[c]) for c in several]
    if way.steps is None:
        why: Literal["no-way", "too-long"] = "too-long" if way.gave_up else "no-way"
        return Plan(items, assumed, _blocked(machine, values, todo, end, why))
    items += _Reasons(states, start, way.steps, lost, tried).items()
    return Plan(items, assumed, None)


def gap_helps(
    machine: Machine,
    conditions: Sequence[int],
    todo: Collection[int],
    step: int,
    end: str = "finished",
) -> bool:
    """
    Tell whether a gap that the owner accepts at a step brings the job nearer to an end.

    It does where the end is reached without that step ever being done. What it proves stays
    unproved: a later step or a house rule that asks for it would stand in the way for good. Where
    the search gives up nobody knows, and the owner may.

    Args:
        machine: The machine of the bundle.
        conditions: The possible values of each condition, as masks.
        todo: The steps that are todo.
        step: The step, one that is todo.
        end: The end to reach; one that does not ask for all must-steps is not helped.
    """
    if not (machine.end(end).all_must and machine.steps[step].must and step in todo):
        return False
    never = replace(machine.steps[step], guard=((0, 0),), effect=())
    steps = (*machine.steps[:step], never, *machine.steps[step + 1 :])
    without = replace(machine, steps=steps)
    found = plan(without, conditions, set(todo) - {step}, end)
    return found.blocked is None or found.blocked.why == "too-long"


def _blocked(
    machine: Machine,
    values: Sequence[int],
    todo: Collection[int],
    end: str,
    why: Literal["no-way", "too-long"],
) -> Blocked:
    conditions = [1 << value for value in values]
    step = min((at for at in todo if machine.steps[at].must), default=None)
    if step is None or not machine.end(end).all_must:
        return Blocked(why, None, unmet(machine, conditions, machine.end(end).conditions, "need"))
    return Blocked(why, step, refusal_on(machine, conditions, todo, step))


class _Reasons:
    """Walks a way once more and says why each step is on it."""

    def __init__(
        self,
        states: States,
        start: int,
        steps: Sequence[int],
        lost: Sequence[Loss | None],
        tried: Sequence[bool],
    ) -> None:
        self.states, self.machine, self.steps, self.lost = states, states.machine, steps, lost
        self.tried = {at for at, was_tried in enumerate(tried) if was_tried}
        moves = {move.step: move for move in states.moves}
        self.before = [start]
        for step in steps:
            self.before.append(states.done(self.before[-1], moves[step]))
        self.taken_by: dict[int, tuple[int, int]] = {}  # a step: what was taken, and by which

    def items(self) -> list[PlanItem]:
        found: list[PlanItem] = []
        for at, step in enumerate(self.steps):
            why = self._why(at, step)
            again = step in self.tried or why.kind == "redo"
            found.append(Do(step, why, self.machine.steps[step].uses if again else ()))
            self._note_taken(at, step)
        return found

    def _why(self, at: int, step: int) -> Why:
        if not self.machine.steps[step].must:
            return self._undo(at, step)
        if step in self.taken_by:
            condition, by = self.taken_by.pop(step)
            return Why("redo", condition, step=by)
        loss = self.lost[step] if step < len(self.lost) else None
        return Why("redo", loss.condition, entry=loss.entry) if loss else Why("todo")

    def _note_taken(self, at: int, step: int) -> None:
        """Note which must-steps this one makes todo, and by what it takes from them."""
        it = self.machine.steps[step]
        for c, value in it.effect:
            proof = self.machine.conditions[c].proof
            had = self.states.value(self.before[at], c)
            for left, makers in self.machine.makers_of.get(c, ()):
                for maker in makers:
                    is_taken = proof or (left == had and (it.undo or maker > step))
                    if left != value and is_taken and not self._is_todo(at, maker):
                        self.taken_by.setdefault(maker, (c, step))

    def _is_todo(self, at: int, step: int) -> bool:
        return bool(self.before[at] & self.states.step_bit(step))

    def _undo(self, at: int, step: int) -> Why:
        """Return the first later step that needs what this one brings, and what that is."""
        brought = dict(self.machine.steps[step].effect)
        for later in range(at + 1, len(self.steps) + 1):
            user = self.steps[later] if later < len(self.steps) else None
            for c, wanted in self.states.asked(user):
                had, value = self.states.value(self.before[at], c), brought.get(c)
                if value is None or value == had:
                    continue
                if wanted >> value & 1 and not wanted >> had & 1:
                    return Why("undo", c, wanted, user)
        return Why("undo")
