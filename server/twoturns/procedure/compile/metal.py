"""
What the source says of the metal, in the numbers of one procedure: what lies behind what, where a
tool or a part of the kit stands in the engine, what goes into the bin and what work is done at.

Phones need none of it: it is held against the order when a procedure is proved.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from twoturns.procedure import shape
from twoturns.procedure.compile.flatten import pairs
from twoturns.procedure.language.names import Names
from twoturns.procedure.language.source import Source
from twoturns.words import t
from twoturns.words.en.procedure.compile import metal as texts

# The values by which procedures and house rules call a part away.
AWAY = ("off", "out")
# The values by which a lock or a tool is in the engine.
IN_USE = ("in", "fitted", "on")


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
        locks: For each condition that says where a tool is: the mask of *in the engine*, its slots.
        parts: For each part of the kit the condition that says how it sits.
        bins: For each step how many of a part it bins.
        works_at: For each step the parts that it works at.
    """

    covers: tuple[Cover, ...] = ()
    reached: tuple[tuple[shape.MachineRule, ...], ...] = ()
    locks: Mapping[int, tuple[int, frozenset[str]]] = field(default_factory=dict)
    parts: Mapping[str, int] = field(default_factory=dict)
    bins: tuple[Mapping[str, int], ...] = ()
    works_at: tuple[tuple[str, ...], ...] = ()


def no_metal(steps: int) -> Metal:
    """What is known of the metal of a bundle whose source is not at hand: nothing."""
    return Metal(reached=((),) * steps, bins=({},) * steps, works_at=((),) * steps)


def metal_of(names: Names, data: Source) -> Metal:
    """Read it off a source; faults go to `names.problems`."""
    covers = _covers(names, data)
    steps = data["steps"]
    return Metal(
        tuple(covers),
        tuple(_reached(names, step, covers) for step in steps),
        _locks(names, data),
        _parts(names, data),
        tuple(step["bins"] for step in steps),
        tuple(tuple(step["works_at"]) for step in steps),
    )


def _locks(names: Names, data: Source) -> dict[int, tuple[int, frozenset[str]]]:
    """Of each tool its own condition, and of a pin that of the holes that it locks."""
    slots: dict[int, set[str]] = {}
    for slot, tool in data["tools"].items():
        if "condition" in tool:
            condition = names.condition(
                ("tools", slot, "condition"), tool["condition"], proof=False
            )
            if condition is not None:
                slots.setdefault(condition, set()).add(slot)
    for hole in _holes(data):
        condition = names.index.get(str(hole.get("condition")))
        if condition is not None:
            slots.setdefault(condition, set()).add(str(hole.get("pin")))
    return {
        condition: (_mask(names, condition, IN_USE), frozenset(each))
        for condition, each in slots.items()
    }


def _holes(data: Source) -> list[Source]:
    """The holes of the drive's wheels; what is wrong with the block itself is said elsewhere."""
    wheels = data["drive"].get("wheels") if isinstance(data["drive"], dict) else None
    listed = wheels if isinstance(wheels, list) else []
    holes = [each.get("hole") for each in listed if isinstance(each, dict)]
    return [each for each in holes if isinstance(each, dict)]


def _parts(names: Names, data: Source) -> dict[str, int]:
    for at, step in enumerate(data["steps"]):
        for word in ("bins", "works_at"):
            for part in step[word]:
                if part not in data["kit"]:
                    names.unknown(
                        ("steps", at, word), t(texts.PART_OF_KIT), part, list(data["kit"])
                    )
    found = {}
    for part, kit in data["kit"].items():
        if "condition" in kit:
            condition = names.condition(("kit", part, "condition"), kit["condition"], proof=False)
            if condition is not None:
                found[part] = condition
    return found


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
        away = _mask(names, front, AWAY)
        if written["behind"] and not away:
            names.refuse(
                path, t(texts.NEVER_AWAY, word=word), t(texts.NEVER_AWAY_HINT), "behind-away"
            )
        for number, each in enumerate(written["behind"]):
            behind = names.condition((*path, number), each, proof=False)
            if behind is not None and away:
                covers.append(Cover(front, away, behind))
    return covers


def _mask(names: Names, condition: int, words: tuple[str, ...]) -> int:
    """The mask of those of some words that are values of a condition."""
    values = names.conditions[condition].values
    return sum(1 << values.index(value) for value in words if value in values)


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
