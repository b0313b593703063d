"""
What the source says of the metal, in the numbers of one procedure: what lies behind what.

Phones need none of it: it is held against the order when a procedure is proved.
"""

from __future__ import annotations

from dataclasses import dataclass

from twoturns.procedure import shape
from twoturns.procedure.compile.flatten import pairs
from twoturns.procedure.language.names import Names
from twoturns.procedure.language.source import Source
from twoturns.words import t
from twoturns.words.en.procedure.compile import metal as texts

# The values by which procedures and house rules call a part away.
AWAY = ("off", "out")


@dataclass(frozen=True)
class Cover:
    """One part behind another: `behind` is reached where `front` has a value of the mask `away`."""

    front: int
    away: int
    behind: int


@dataclass(frozen=True)
class Metal:
    """
    What is so of the metal.

    Args:
        covers: Each part that lies behind another.
        reached: For each step what must be away before it: `rule` is a place in `covers`.
    """

    covers: tuple[Cover, ...] = ()
    reached: tuple[tuple[shape.MachineRule, ...], ...] = ()


def metal_of(names: Names, data: Source) -> Metal:
    """Read it off a source; faults go to `names.problems`."""
    covers = _covers(names, data)
    steps = tuple(_reached(names, step, covers) for step in data["steps"])
    return Metal(tuple(covers), steps)


def _covers(names: Names, data: Source) -> list[Cover]:
    covers = []
    for word, written in data["conditions"]["proof"].items():
        if written["behind"]:
            names.refuse(
                ("conditions", "proof", word, "behind"),
                t(texts.PROOF_COVERS, word=word),
                t(texts.PROOF_COVERS_HINT),
                "behind-proof",
            )
    for word, written in data["conditions"]["engine"].items():
        path = ("conditions", "engine", word, "behind")
        front = names.index[word]
        away = _away(names, front)
        if written["behind"] and not away:
            names.refuse(
                path, t(texts.NEVER_AWAY, word=word), t(texts.NEVER_AWAY_HINT), "behind-away"
            )
        for number, each in enumerate(written["behind"]):
            behind = names.condition((*path, number), each, proof=False)
            if behind is not None and away:
                covers.append(Cover(front, away, behind))
    return covers


def _away(names: Names, condition: int) -> int:
    values = names.conditions[condition].values
    return sum(1 << values.index(value) for value in AWAY if value in values)


def _reached(names: Names, step: Source, covers: list[Cover]) -> tuple[shape.MachineRule, ...]:
    """Follow `does`: before a part moves, all that covers it is away."""
    now: dict[int, int] = {}
    asked: dict[int, dict[int, int]] = {}
    for deed in step["does"]:
        word, _, value_word = deed.partition("=")
        condition = names.index.get(word)
        if condition is None or value_word not in names.conditions[condition].values:
            continue
        value = names.conditions[condition].values.index(value_word)
        if now.get(condition) == value:
            continue
        for at, cover in enumerate(covers):
            if cover.behind != condition:
                continue
            known = now.get(cover.front)
            if known is None:
                asked.setdefault(at, {})[cover.front] = cover.away
            elif not cover.away >> known & 1:
                asked.setdefault(at, {})[cover.front] = 0
        now[condition] = value
    return tuple({"rule": at, "guard": pairs(guard)} for at, guard in asked.items())
