"""
What covers what: a part that lies behind another is reached where that one is away.

Taking off and putting on are asked alike, in every state that the walk meets: to it a cover is
one rule more. Only looks are read off the straight job.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twoturns.procedure import shape
from twoturns.procedure.compile.metal import Cover, Metal
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.phrases import Words
from twoturns.words import t
from twoturns.words.en.procedure.prove import covers as texts


def with_covers(bundle: shape.Bundle, metal: Metal) -> shape.MachineForm:
    """Return a bundle's machine whose steps ask for what covers them, after the house rules."""
    first = len(bundle["rules"])
    steps = [
        {
            **step,
            "rules": [
                *step["rules"],
                *({**each, "rule": first + each["rule"]} for each in asked),
            ],
        }
        for step, asked in zip(bundle["machine"]["steps"], metal.reached, strict=True)
    ]
    return {**bundle["machine"], "steps": steps}  # type: ignore[typeddict-item]  # spread of a step


def hidden(
    bundle: shape.Bundle,
    packed: Packed,
    words: Words,
    straight: Sequence[tuple[int, int, int]],
    covers: Sequence[Cover],
) -> Iterator[Finding]:
    """Tell each wheel that a step of the straight job looks at while something covers it."""
    if not covers:
        return
    index = {each["id"]: c for c, each in enumerate(packed.machine["conditions"])}
    shown = {each["id"]: each for each in bundle["drive"]["wheels"] if "condition" in each}
    for at, before, after in straight:
        for name in bundle["steps"][at]["look"]:
            part = index[shown[name]["condition"]] if name in shown else None
            for cover in (each for each in covers if each.behind == part):
                away = sum(packed.bit(cover.front, v) for v in _values(cover.away))
                if not (before | after) & away:
                    front = words.value(cover.front, packed.value(before, cover.front))
                    label = shown[name]["label"]
                    yield Finding(
                        "looked-at-hidden",
                        t(texts.LOOKED_AT_HIDDEN, step=words.step(at), label=label, front=front),
                        t(texts.LOOKED_AT_HIDDEN_HINT),
                        place=words.place("steps", at),
                    )


def _values(mask: int) -> list[int]:
    return [value for value in range(mask.bit_length()) if mask >> value & 1]


def part_moved(words: Words, cover: Cover, front: int, at: int) -> tuple[str, str]:
    """The message and the hint of a step that moves a part behind one that is not away."""
    label = words.bundle["conditions"][cover.behind]["label"]
    covering = words.value(cover.front, front)
    message = t(texts.MOVED_BEHIND, step=words.step(at), label=label, front=covering)
    return message, t(texts.MOVED_BEHIND_HINT)
