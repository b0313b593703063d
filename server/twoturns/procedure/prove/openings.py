"""How often a step can be done: never, the same again after a failure, or no more later on."""

from __future__ import annotations

from collections.abc import Iterator

from twoturns.procedure.prove.explored import Explored
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.phrases import listed
from twoturns.procedure.prove.walk import Deed, reaches
from twoturns.words import t
from twoturns.words.en.procedure.prove import openings as texts


def never_open(explored: Explored) -> Iterator[Finding]:
    """
    Tell the steps that nothing ever opens. One that would be open if those before it could be done
    is told under the first that would not: mend that, and it is gone.
    """
    if not explored.walk.is_whole:
        return
    never = [at for at in range(len(explored.steps)) if at not in explored.walk.opened]
    turns = {at: before for at, before, _ in explored.straight}
    causes = [at for at in never if at in turns and not explored.packed.is_open(turns[at], at)]
    for at in causes or never:
        follow = [each for each in never if each not in causes] if [at] == causes[:1] else []
        hint = t(texts.NEVER_OPEN_HINT)
        if follow:
            steps = listed(explored.words.short(each) for each in follow)
            hint = f"{hint} {t(texts.NEVER_OPEN_FOR_IT, n=len(follow), steps=steps)}"
        says = t(texts.NEVER_OPEN, step=explored.words.step(at))
        yield explored.told("never-open", says, hint, step=at)


def same_steps_again(explored: Explored, *, in_trouble: bool) -> Iterator[Finding]:
    """Failures after which the same step comes again: a fault if the engine has changed."""
    for (at, number), (before, after) in sorted(explored.walk.again.items()):
        if explored.walk.is_trouble(before, after, at) != in_trouble:
            continue
        seen = explored.bundle["steps"][at]["fails"][number]["says"].removesuffix(".")
        step = explored.words.step(at)
        if in_trouble:
            new = _new(explored, before, after, at)
            says = t(texts.REPEATS_THOUGH_CHANGED, step=step, seen=seen, new=new)
        else:
            says = t(texts.REPEATS_FAILED, step=step, seen=seen)
        yield explored.told(
            "same-again",
            says,
            t(texts.REPEATS_THOUGH_CHANGED_HINT) if in_trouble else t(texts.REPEATS_FAILED_HINT),
            step=at,
            to=before,
            then=Deed(at, after, number),
        )


def _new(explored: Explored, before: int, after: int, at: int) -> str:
    """How the engine is where a failure left it as nothing before did."""
    new = after & ~before & explored.packed.engine & ~explored.walk.half_done[at]
    conditions = explored.packed.machine["conditions"]
    return listed(
        explored.words.value(c, v)
        for c, condition in enumerate(conditions)
        for v in range(len(condition["values"]))
        if new & explored.packed.bit(c, v)
    )


def once_steps(explored: Explored) -> Iterator[Finding]:
    """Steps that can no longer be done again after a certain place in the straight order."""
    if not explored.walk.is_whole or not explored.alive[0]:
        return
    done, told = list[int](), set[int]()
    for here, _, state in explored.straight:
        done.append(here)
        for at in done:
            again = explored.packed.reopened(state, at)
            if at in told or reaches(explored.packed, again, explored.lives):
                continue
            told.add(at)
            yield explored.told(
                "once",
                t(
                    texts.NOT_REPEATABLE,
                    step=explored.words.step(at),
                    after=explored.words.step(here),
                ),
                t(texts.MARKED_ONCE)
                if explored.bundle["steps"][at]["once"]
                else t(texts.MARK_ONCE_HINT),
                step=at,
            )
