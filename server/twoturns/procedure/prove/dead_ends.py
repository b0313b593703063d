"""Where no right end is reached any more, by the walk and after an interruption."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twoturns.procedure.prove.explored import Explored
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.safe import rule_broken
from twoturns.words import t
from twoturns.words.en.procedure.prove import dead_ends as texts


def unfinished(explored: Explored) -> Iterator[Finding]:
    """Tell that the walk was given up: then nothing is known."""
    if not explored.walk.is_whole:
        yield Finding(
            "too-many-states",
            t(texts.WALK_GIVEN_UP, states=f"{len(explored.walk.states):,}"),
            t(texts.GIVEN_UP_HINT),
        )


def dead_ends(explored: Explored) -> Iterator[Finding]:
    """States from which no right end is reached: the nearest, and how many there are."""
    if not explored.walk.is_whole or all(explored.alive):
        return
    dead = [state for at, state in enumerate(explored.walk.states) if not explored.alive[at]]
    yield _dead_end(
        explored,
        t(texts.NO_END_IS_REACHED, dead=f"{len(dead):,}", states=f"{len(explored.walk.states):,}"),
        dead,
    )


def interrupted(explored: Explored) -> Iterator[Finding]:
    """What an interruption of the straight job leads to that the walk does not meet."""
    if not explored.walk.is_whole:
        return
    if not explored.interruptions.is_whole:
        yield Finding(
            "too-many-states",
            t(texts.INTERRUPTIONS_GIVEN_UP, states=f"{explored.interruptions.states:,}"),
            t(texts.GIVEN_UP_HINT),
        )
    for (at, rule), state in explored.interruptions.broken.items():
        if (at, rule) not in explored.walk.broken:
            yield rule_broken(explored, at, rule, state)
    dead = explored.interruptions.dead() if all(explored.alive) else []
    if dead:
        yield _dead_end(explored, t(texts.DEAD_AFTER_INTERRUPTION, dead=f"{len(dead):,}"), dead)


def _dead_end(explored: Explored, says: str, dead: Sequence[int]) -> Finding:
    stuck = _stuck(explored, dead)
    return explored.told(
        "dead-end",
        says,
        t(texts.DEAD_AFTER_INTERRUPTION_HINT, stuck_at=_stuck_at(explored, stuck)),
        step=explored.packed.next_must(stuck),
        to=stuck,
    )


def _stuck(explored: Explored, dead: Sequence[int]) -> int:
    """
    Return the dead state that shows the fault: where nothing goes on, and least is left to do.

    A dead state may look lively for a while, and what is lacking shows where it is asked for.
    Of several it is the nearest.
    """
    halted = [each for each in dead if not _goes_on(explored, each)]
    return min(halted or dead, key=lambda state: explored.packed.todo(state).bit_count())


def _goes_on(explored: Explored, state: int) -> bool:
    return any(explored.steps[at]["must"] for at in explored.packed.opened(state))


def _stuck_at(explored: Explored, state: int) -> str:
    at = explored.packed.next_must(state)
    if at is None:
        asked = explored.packed.machine["ends"][explored.right_ends[0]]["conditions"]
        wrong = explored.words.is_outside(explored.packed, state, asked)
        return t(texts.DONE_WITHOUT_END, wrong=wrong)
    lacking = explored.words.is_outside(
        explored.packed, state, explored.steps[at]["guard"] + explored.steps[at]["moves"]
    )
    if not lacking:
        return t(texts.LEADS_NOWHERE, step=explored.words.step(at))
    return t(texts.NEXT_LACKS, step=explored.words.step(at), lacking=lacking)
