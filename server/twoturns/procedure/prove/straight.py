"""
The straight job: the listed order once, and nothing fails. It is what the author had in mind, so
every step has to be open in its turn, whatever a way back could still open.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.phrases import Words
from twoturns.procedure.prove.walk import Deed
from twoturns.words import t
from twoturns.words.en.procedure.prove import straight as texts


def straight_run(packed: Packed) -> list[tuple[int, int, int]]:
    """Each must-step with the states before and after it, as if nothing stood in its way."""
    state, run = packed.start(), []
    for at, step in enumerate(packed.steps):
        if step["must"]:
            after = packed.done(state, at)
            run.append((at, state, after))
            state = after
    return run


def not_straight(packed: Packed, words: Words) -> Iterator[Finding]:
    """The first step of the listed order that is not open in its turn, or an end that is missed."""
    deeds: list[Deed] = []
    state = packed.start()
    for at, before, after in straight_run(packed):
        if not packed.is_open(before, at):
            step = packed.steps[at]
            wrong = words.is_outside(packed, before, step["guard"] + step["moves"])
            what = t(texts.NOT_OPEN_IN_TURN, step=words.step(at))
            yield _told(words, packed, deeds, what, wrong, at)
            return
        state = after
        deeds.append(Deed(at, state))
    whole = [end for end in packed.machine["ends"] if end["all_must"]]
    if whole and not any(packed.holds(state, end["conditions"]) for end in whole):
        wrong = words.is_outside(packed, state, whole[0]["conditions"])
        yield _told(words, packed, deeds, t(texts.ORDER_UNFINISHED), wrong, None)


def _told(
    words: Words, packed: Packed, deeds: Sequence[Deed], message: str, wrong: str, at: int | None
) -> Finding:
    return Finding(
        "not-straight",
        message,
        t(texts.WAY_BLOCKED_HINT, wrong=wrong),
        place=None if at is None else words.place("steps", at),
        way=tuple(words.name(deed) for deed in deeds),
        sequence=tuple(words.deed(packed, deed) for deed in deeds),
    )


def never_left(packed: Packed, words: Words) -> Iterator[Finding]:
    """Values that no step and no failure leaves: most often the step that did was taken out."""
    machine = packed.machine
    left = {(c, condition["start"]) for c, condition in enumerate(machine["conditions"])}
    for step in machine["steps"]:
        for effect in (step["effect"], *(failure["effect"] for failure in step["fails"])):
            left.update((c, v) for c, v in effect)
        for c, mask in step["on_the_way"]:
            left.update((c, v) for v in range(mask.bit_length()) if mask >> v & 1)
    for c, condition in enumerate(machine["conditions"]):
        for v, value in enumerate(condition["values"]):
            if (c, v) not in left:
                kind = "proof" if condition["proof"] else "engine"
                yield Finding(
                    "never-left",
                    t(texts.NEVER_REACHED, words_value=words.value(c, v)),
                    t(
                        texts.NEVER_REACHED_HINT,
                        id=condition["id"],
                        value=value,
                        is_one_of_two=len(condition["values"]) == 2,
                    ),
                    place=words.place("conditions", kind, condition["id"], "values", value),
                )
