"""
The machine a bundle carries, ready to run: conditions, values and steps are indices, a *mask* is a
bit set of value indices. Its form is formats.md, section 6; `flatten` makes it.

Pure numbers: which log it is run over is `fold`, which steps come next is `plan`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from twoturns.procedure import shape

Pair = tuple[int, int]
Pairs = tuple[Pair, ...]


@dataclass(frozen=True, slots=True)
class Condition:
    """One variable of the engine, or of proof: then its value 0 is *unproved*."""

    id: str
    proof: bool
    values: tuple[str, ...]
    start: int

    @property
    def every(self) -> int:
        """Every value possible."""
        return (1 << len(self.values)) - 1


@dataclass(frozen=True, slots=True)
class Failure:
    """How a step can fail: what it leaves, and what must be looked at."""

    id: str
    effect: Pairs
    look: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Proof:
    """What an entry must hold to be a proof of a step."""

    name: str
    kind: str
    low: str | None
    high: str | None
    ok: tuple[str, ...] | None


@dataclass(frozen=True, slots=True)
class StepRule:
    """A house rule at one step: broken unless the state before it is inside every mask."""

    rule: int
    guard: Pairs


@dataclass(frozen=True, slots=True)
class Step:
    """
    One step.

    `made` is what it leaves that can be lost again: all but proofs at *unproved*. `uses` are the
    single-use parts that it fits, each with how many, `permit` what who does it must hold.
    """

    id: str
    undo: bool
    must: bool
    together: str | None
    guard: Pairs
    moves: Pairs
    effect: Pairs
    on_the_way: Pairs
    fails: tuple[Failure, ...]
    reopen: Pairs
    rules: tuple[StepRule, ...]
    proof: tuple[Proof, ...]
    tools_out: tuple[str, ...]
    tools_in: tuple[str, ...]
    made: Pairs
    uses: tuple[tuple[str, int], ...]
    permit: str | None

    @property
    def permit_note(self) -> str | None:
        """The name of the note by which somebody without its permit goes on; None of any other."""
        return self.permit and f"permit_{self.permit}"[:32]


@dataclass(frozen=True, slots=True)
class End:
    """A way to close a job."""

    id: str
    all_must: bool
    conditions: Pairs


@dataclass(frozen=True, slots=True)
class Rule:
    """A house rule by its name: `stop` never passes, `ask` passes with a reason and a photo."""

    id: str
    ask: bool


@dataclass(frozen=True)
class Machine:
    """A bundle's machine with what every reader of it needs to look up."""

    conditions: tuple[Condition, ...]
    steps: tuple[Step, ...]
    rests: Mapping[int, tuple[int, ...]]
    makers: Mapping[Pair, tuple[int, ...]]
    ends: tuple[End, ...]
    rules: tuple[Rule, ...]

    @classmethod
    def from_bundle(cls, bundle: shape.Bundle) -> Machine:
        """Read the machine of a bundle that has been checked (`bundle.check_bundle`)."""
        flat = bundle["machine"]
        told = {each["id"]: each for each in bundle.get("steps", ())}
        conditions = tuple(
            Condition(each["id"], each["proof"], tuple(each["values"]), each["start"])
            for each in flat["conditions"]
        )
        return cls(
            conditions=conditions,
            steps=tuple(_step(each, told.get(each["id"]), conditions) for each in flat["steps"]),
            rests={proof: tuple(on) for proof, on in flat["rests"]},
            makers={(condition, value): tuple(by) for condition, value, by in flat["makers"]},
            ends=tuple(
                End(each["id"], each["all_must"], _pairs(each["conditions"]))
                for each in flat["ends"]
            ),
            rules=tuple(Rule(each["id"], each["kind"] == "ask") for each in bundle["rules"]),
        )

    @cached_property
    def condition_index(self) -> Mapping[str, int]:
        """Conditions by name."""
        return {each.id: at for at, each in enumerate(self.conditions)}

    @cached_property
    def step_index(self) -> Mapping[str, int]:
        """Steps by name."""
        return {each.id: at for at, each in enumerate(self.steps)}

    @cached_property
    def before(self) -> tuple[tuple[int, ...], ...]:
        """
        For each step the must-steps listed before it, those of its `together` left out.

        An undo step has no place in the order.
        """
        return tuple(
            tuple(
                earlier
                for earlier in range(at)
                if not step.undo
                and self.steps[earlier].must
                and (step.together is None or self.steps[earlier].together != step.together)
            )
            for at, step in enumerate(self.steps)
        )

    @cached_property
    def makers_of(self) -> Mapping[int, tuple[tuple[int, tuple[int, ...]], ...]]:
        """For each condition the values that must-steps leave, with those steps."""
        found: dict[int, list[tuple[int, tuple[int, ...]]]] = defaultdict(list)
        for (condition, value), steps in self.makers.items():
            found[condition].append((value, steps))
        return {condition: tuple(values) for condition, values in found.items()}

    @cached_property
    def proving_anew(self) -> frozenset[int]:
        """The steps on whose way something falls that they prove themselves."""
        return frozenset(
            at
            for at, step in enumerate(self.steps)
            for c, value in step.effect
            if value and self.conditions[c].proof and c in dict(step.on_the_way)
        )

    def end(self, end_id: str) -> End:
        """Return an end by its name; raise KeyError if the bundle has none such."""
        for end in self.ends:
            if end.id == end_id:
                return end
        raise KeyError(end_id)

    def bringers(self, condition: int, mask: int) -> list[int]:
        """Return the steps that leave a condition at one of these values; undo steps last."""
        found = [
            at
            for at, step in enumerate(self.steps)
            if any(c == condition and mask >> v & 1 for c, v in step.effect)
        ]
        return sorted(found, key=self.rank)

    def rank(self, step: int) -> tuple[bool, int]:
        """The order in which equals are offered: as listed, undo steps after the others."""
        return (self.steps[step].undo, step)


def _pairs(raw: Sequence[Sequence[int]]) -> Pairs:
    return tuple((condition, number) for condition, number in raw)


def _step(raw: shape.MachineStep, told: shape.Step | None, conditions: Sequence[Condition]) -> Step:
    effect = _pairs(raw["effect"])
    uses = told.get("uses", ()) if told else ()
    return Step(
        id=raw["id"],
        undo=raw["undo"],
        must=raw["must"],
        together=raw["together"],
        guard=_pairs(raw["guard"]),
        moves=_pairs(raw["moves"]),
        effect=effect,
        on_the_way=_pairs(raw["on_the_way"]),
        fails=tuple(
            Failure(each["id"], _pairs(each["effect"]), tuple(each["look"]))
            for each in raw["fails"]
        ),
        reopen=_pairs(raw["reopen"]),
        rules=tuple(StepRule(each["rule"], _pairs(each["guard"])) for each in raw["rules"]),
        proof=tuple(_proof(each) for each in raw["proof"]),
        tools_out=tuple(raw["tools_out"]),
        tools_in=tuple(raw["tools_in"]),
        made=tuple((c, v) for c, v in effect if v or not conditions[c].proof),
        uses=tuple((each["part"], each["count"]) for each in uses),
        permit=told.get("permit") if told else None,
    )


def _proof(raw: shape.MachineProof) -> Proof:
    ok = raw.get("ok")
    return Proof(
        name=raw["name"],
        kind=raw["kind"],
        low=raw.get("low"),
        high=raw.get("high"),
        ok=None if ok is None else tuple(ok),
    )


# What a state of conditions allows. `conditions` holds one mask of possible values for each.


def holds(pairs: Pairs, conditions: Sequence[int]) -> bool:
    """Tell whether every possible value of each condition named is inside its mask."""
    return all(not conditions[condition] & ~mask for condition, mask in pairs)


def is_open(machine: Machine, conditions: Sequence[int], todo: Collection[int], step: int) -> bool:
    """
    Tell whether the order of work lets a step be begun. House rules are asked apart.

    An undo step: its needs hold, its moves are legal, and it would change something. Any other:
    it is todo, no must-step listed before it is, its needs hold and its moves are legal. A step
    that is no must may also be done again when it would change something.
    """
    it = machine.steps[step]
    if not (holds(it.guard, conditions) and holds(it.moves, conditions)):
        return False
    changes = any(conditions[condition] != 1 << value for condition, value in it.effect)
    wanted = changes if it.undo else step in todo or (changes and not it.must)
    return wanted and not any(earlier in todo for earlier in machine.before[step])
