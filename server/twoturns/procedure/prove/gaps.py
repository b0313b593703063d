"""
At which steps a gap that the owner accepts does not help: a later step, or a house rule that stops,
asks for what the step proves, and nothing else proves it. A note: mostly that is as it should be.
"""

from __future__ import annotations

from collections.abc import Iterator

from twoturns.procedure import shape
from twoturns.procedure.machine.machine import Machine
from twoturns.procedure.machine.plan import gap_helps
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.phrases import Words, listed
from twoturns.procedure.prove.straight import straight_run
from twoturns.words import t
from twoturns.words.en.procedure.prove import gaps as texts


def no_gaps(bundle: shape.Bundle, packed: Packed, words: Words) -> Iterator[Finding]:
    """Look at each step of the straight job as if it were done and its proof missing."""
    machine = Machine.from_bundle(bundle)
    ends = [end.id for end in machine.ends if end.all_must]
    helpless = []
    for at, before, _ in straight_run(packed):
        state = packed.passed(before, at)
        if _goes_on(packed, packed.gap(state, at), at):
            continue
        conditions = [1 << packed.value(state, c) for c in range(len(machine.conditions))]
        todo = {s for s in range(len(machine.steps)) if packed.todo(state) >> s & 1} | {at}
        if not any(gap_helps(machine, conditions, todo, at, end) for end in ends):
            helpless.append(at)
    if helpless:
        yield Finding(
            "no-gap",
            t(texts.NO_GAP_ACCEPTED, listed=listed(words.short(at) for at in helpless)),
            t(texts.NO_GAP_ACCEPTED_HINT),
        )


def _goes_on(packed: Packed, state: int, without: int) -> bool:
    """
    Whether the listed order leads to an end from a state, one step never done: the nearest way.

    Where it does not, another may, and is searched for.
    """
    while (at := packed.next_must(state)) is not None:
        if at == without or not packed.is_open(state, at) or packed.broken(state, at):
            return False
        state = packed.done(state, at)
    return any(packed.machine["ends"][end]["all_must"] for end in packed.ended(state))
