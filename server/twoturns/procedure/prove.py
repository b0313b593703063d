"""
Prove a bundle: go everywhere one phone can go, and look.

The walk takes every open step, every failure, every way back at any time, and every `ask` passed.
The house rules do not guide it: needs, listed order and legal moves must keep them by themselves,
so that a phone which forgot the rules would still be safe. A *finding* is a fault of the
procedure. A *note* is no fault, and the author should know it.

What two phones at once can do is `fold`'s to survive; this walk has one. Reopening a step is not
walked from every state: `once` notes where in the straight order it no longer leads to an end.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from twoturns.procedure.house import SilentRule
from twoturns.procedure.packed import Packed

# Above this the walk is given up and said so: about two minutes and half a gigabyte.
MOST_STATES = 1_000_000


@dataclass(frozen=True)
class Finding:
    """One fault or note; `way` is a shortest sequence that leads to it, in the names of steps."""

    code: str
    message: str
    hint: str
    way: tuple[str, ...] = ()


@dataclass(frozen=True)
class Proof:
    """What the walk found. A bundle is proved when it has no findings."""

    states: int
    findings: tuple[Finding, ...]
    notes: tuple[Finding, ...]

    @property
    def is_proved(self) -> bool:
        return not self.findings


@dataclass
class _Walk:
    """Each state with the one before it and how it was reached; edges are stored backwards."""

    came: dict[int, tuple[int, str] | None]
    opened: set[int] = field(default_factory=set)
    broken: dict[tuple[int, int], int] = field(default_factory=dict)
    blocked: dict[int, int] = field(default_factory=dict)
    same_again: dict[tuple[int, str], int] = field(default_factory=dict)
    back: dict[int, list[int]] = field(default_factory=dict)
    is_whole: bool = True


def prove(
    bundle: dict[str, Any],
    silent_rules: Sequence[SilentRule] = (),
    most_states: int = MOST_STATES,
) -> Proof:
    """
    Walk a bundle's machine and return everything found.

    Args:
        bundle: Compiled and checked.
        silent_rules: What compiling reported; they become notes.
        most_states: Where the walk is given up, which is a finding too.
    """
    prover = _Prover(bundle)
    walk = prover.walk(most_states)
    alive = prover.alive(walk)
    findings = [
        *prover.unfinished(walk),
        *prover.broken_rules(walk),
        *prover.dead_ends(walk, alive),
        *prover.stale_proofs(walk),
        *prover.never_open(walk),
        *prover.tools_left_out(),
    ]
    notes = [
        *prover.once_steps(walk, alive),
        *prover.blocked_moves(walk),
        *prover.same_steps_again(walk),
        *map(_silent, silent_rules),
    ]
    return Proof(len(walk.came), tuple(findings), tuple(notes))


class _Prover:
    def __init__(self, bundle: dict[str, Any]) -> None:
        self.bundle = bundle
        self.packed = Packed(bundle["machine"])
        self.steps = self.packed.steps
        self.asks = {at for at, rule in enumerate(bundle["rules"]) if rule["kind"] == "ask"}

    def walk(self, most_states: int) -> _Walk:
        """Go everywhere, nearest first, so that each way that is told is a shortest one."""
        start = self.packed.start()
        walk = _Walk({start: None})
        queue = deque([start])
        while queue:
            if len(walk.came) > most_states:
                walk.is_whole = False
                break
            state = queue.popleft()
            for at in self.packed.opened(state):
                self._take(walk, queue, state, at)
            blocked = self._blocked_by_a_move(state)
            if blocked is not None:
                walk.blocked.setdefault(blocked, state)
        return walk

    def _take(self, walk: _Walk, queue: deque[int], state: int, at: int) -> None:
        """Take an open step in every way that it can go."""
        step, packed = self.steps[at], self.packed
        walk.opened.add(at)
        broken = packed.broken(state, at)
        for rule in broken:
            walk.broken.setdefault((at, rule), state)
        reached = [(packed.done(state, at), step["id"])]
        if broken and self.asks.issuperset(broken):
            reached = [(packed.passed(state, at), f"{step['id']} (an ask passed)")]
        walk.back.setdefault(reached[0][0], []).append(state)
        for failure in step["fails"]:
            for after in packed.failed(state, at, failure):
                reached.append((after, f"{step['id']}: {failure['id']}"))
                if packed.is_turn(after, at) and packed.is_open(after, at):
                    walk.same_again.setdefault((at, failure["id"]), state)
        for after, how in reached:
            if after not in walk.came:
                walk.came[after] = (state, how)
                queue.append(after)

    def _blocked_by_a_move(self, state: int) -> int | None:
        """The next step, if all it needs holds and it is still no legal move."""
        at = self.packed.next_must(state)
        if at is None or self.packed.is_open(state, at):
            return None
        return at if self.packed.holds(state, self.steps[at]["guard"]) else None

    def _way(self, walk: _Walk, state: int) -> tuple[str, ...]:
        way = []
        while (came := walk.came[state]) is not None:
            state, how = came
            way.append(how)
        return tuple(way[::-1])

    # Findings.

    def unfinished(self, walk: _Walk) -> list[Finding]:
        if walk.is_whole:
            return []
        return [
            Finding(
                "too-many-states",
                f"the walk was given up after {len(walk.came):,} states",
                "Nothing is proved. Let ways back need more, so that fewer are open at once.",
            )
        ]

    def broken_rules(self, walk: _Walk) -> list[Finding]:
        return [
            Finding(
                "rule-broken",
                f"'{self.steps[at]['id']}' can break the rule '{self._rule(rule)}'",
                "Let the step need what the rule asks for.",
                (*self._way(walk, state), self.steps[at]["id"]),
            )
            for (at, rule), state in walk.broken.items()
        ]

    def _rule(self, rule: int) -> str:
        return str(self.bundle["rules"][rule]["id"])

    def dead_ends(self, walk: _Walk, alive: set[int]) -> list[Finding]:
        """States from which no end is reached: the nearest, and how many there are."""
        if not walk.is_whole:
            return []
        dead = [state for state in walk.came if state not in alive]
        if not dead:
            return []
        # A dead state may look lively for a while: told is the nearest where nothing goes on.
        stuck = next((each for each in dead if not self._goes_on(each)), dead[0])
        return [
            Finding(
                "dead-end",
                f"from {len(dead):,} states no end is reached",
                f"Here {self._stuck_at(stuck)}. Add a way back, or let a step need less.",
                self._way(walk, stuck),
            )
        ]

    def _goes_on(self, state: int) -> bool:
        return any(self.steps[at]["must"] for at in self.packed.opened(state))

    def alive(self, walk: _Walk) -> set[int]:
        """The states from which *every must done* is reached; any end where there is no such."""
        whole = {at for at, end in enumerate(self.packed.machine["ends"]) if end["all_must"]}
        wanted = whole or set(range(len(self.packed.machine["ends"])))
        alive = {state for state in walk.came if wanted.intersection(self.packed.ended(state))}
        ends = list(alive)
        while ends:
            for before in walk.back.get(ends.pop(), ()):
                if before not in alive:
                    alive.add(before)
                    ends.append(before)
        return alive

    def _stuck_at(self, state: int) -> str:
        at = self.packed.next_must(state)
        if at is None:
            return "every step is done and the end asks for more"
        step = self.steps[at]
        lacking = [
            self._spoken(c, self.packed.value(state, c))
            for c, mask in step["guard"] + step["moves"]
            if not mask >> self.packed.value(state, c) & 1
        ]
        return f"'{step['id']}' is next and in its way stands {', '.join(lacking)}"

    def _spoken(self, condition: int, value: int) -> str:
        found = self.packed.machine["conditions"][condition]
        return f"{found['id']}={found['values'][value]}"

    def stale_proofs(self, walk: _Walk) -> list[Finding]:
        findings: dict[tuple[int, int], Finding] = {}
        conditions = self.packed.machine["conditions"]
        for state in walk.came:
            for proof, rests_on in self.packed.machine["rests"]:
                if not self.packed.value(state, proof):
                    continue
                for on in rests_on:
                    if (proof, on) not in findings and not self.packed.value(state, on):
                        findings[proof, on] = Finding(
                            "stale-proof",
                            f"'{conditions[proof]['id']}' holds while "
                            f"'{conditions[on]['id']}', on which it rests, does not",
                            "This bundle was not compiled by this program: compile it again.",
                            self._way(walk, state),
                        )
        return list(findings.values())

    def never_open(self, walk: _Walk) -> list[Finding]:
        if not walk.is_whole:
            return []
        return [
            Finding(
                "never-open",
                f"the step '{step['id']}' is never open",
                "What it needs never holds together: look at its needs and moves.",
            )
            for at, step in enumerate(self.steps)
            if at not in walk.opened
        ]

    def tools_left_out(self) -> list[Finding]:
        """What a straight job leaves out of its place at the end."""
        out: dict[str, str] = {}
        for step in self.steps:
            if step["undo"]:
                continue
            out.update(dict.fromkeys(step["tools_out"], step["id"]))
            for slot in step["tools_in"]:
                out.pop(slot, None)
        return [
            Finding(
                "tool-out",
                f"the tool '{slot}' goes out at '{step}' and is out at the end",
                "List it under tools_in of a later step.",
            )
            for slot, step in out.items()
        ]

    # Notes.

    def once_steps(self, walk: _Walk, alive: set[int]) -> list[Finding]:
        """Steps that can no longer be done again after a certain place in the straight order."""
        if not walk.is_whole:
            return []
        notes, state, told = [], self.packed.start(), set()
        straight = [at for at, step in enumerate(self.steps) if step["must"]]
        for here in straight:
            state = self.packed.done(state, here)
            for at in straight[: straight.index(here) + 1]:
                if at in told or self._has_a_way(self.packed.reopened(state, at), alive):
                    continue
                told.add(at)
                once = self.bundle["steps"][at]["once"]
                notes.append(
                    Finding(
                        "once",
                        f"'{self.steps[at]['id']}' cannot be done again "
                        f"after '{self.steps[here]['id']}'",
                        "It is marked once: its proof is judged before the next step opens."
                        if once
                        else "Mark it 'once: yes', or add a way back to it.",
                    )
                )
        return notes

    def _has_a_way(self, state: int, alive: set[int], most: int = 20_000) -> bool:
        """
        Whether a state outside the walk, such as after a reopening, leads into the living.

        A search that grows past `most` states counts as no way: the note is then too strict.
        """
        seen, queue = {state}, deque([state])
        while queue and len(seen) < most:
            state = queue.popleft()
            if state in alive:
                return True
            for at in self.packed.opened(state):
                after = self.packed.done(state, at)
                if after not in seen:
                    seen.add(after)
                    queue.append(after)
        return False

    def blocked_moves(self, walk: _Walk) -> list[Finding]:
        return [
            Finding(
                "blocked-move",
                f"'{self.steps[at]['id']}' can have all it needs and still not be a legal move",
                "A way back leads on from there. Let it need what its moves ask for, and a "
                "refusal can say so.",
                self._way(walk, state),
            )
            for at, state in walk.blocked.items()
        ]

    def same_steps_again(self, walk: _Walk) -> list[Finding]:
        return [
            Finding(
                "same-again",
                f"after '{failure}' of '{self.steps[at]['id']}' the same step comes again",
                "Right if the failure's own words put it right; otherwise it leaves too little.",
                self._way(walk, state),
            )
            for (at, failure), state in walk.same_again.items()
        ]


def _silent(rule: SilentRule) -> Finding:
    how = "is silent" if rule.wholly else "is asked in part only"
    return Finding(
        "rule-silent",
        f"the rule '{rule.rule}' {how}: this procedure has no {', '.join(rule.absent)}",
        "Right if the engine has no such thing; otherwise name it as the rule does.",
    )
