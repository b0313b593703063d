"""
The fields of a `drive:` block: which there must be, and which there may be.

`solve` asks for one after the other and stops at the first that is wrong. An author who begins has
many to write, so all that are missing or unknown are told at once, before anything is solved.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from twoturns.procedure.errors import nearest
from twoturns.words import t
from twoturns.words.en.procedure.drive import fields as words

Place = tuple[str | int, ...]


@dataclass(frozen=True)
class Part:
    """
    A mapping of the block.

    Args:
        must: The fields that there must be. `a|b`: one of the two.
        may: Those that there may be.
        given: By a field that is there, those that there must be then.
    """

    must: tuple[str, ...]
    may: tuple[str, ...] = ()
    given: Mapping[str, tuple[str, ...]] | None = None

    @property
    def known(self) -> set[str]:
        """Every field of the part."""
        more = [field for fields in (self.given or {}).values() for field in fields]
        return {field for word in (*self.must, *self.may, *more) for field in word.split("|")}


PARTS: Final = {
    "drive": Part(("running", "belt", "wheels", "order", "counts", "span")),
    "belt": Part(
        ("teeth|length_mm", "width_mm", "back_mm", "pitch_line_mm", "mass_kg_per_m"),
        ("condition",),
        {"teeth": ("pitch_mm",)},
    ),
    "wheels": Part(
        ("id", "label", "side", "teeth|diameter_mm", "at|stud"),
        ("mark_deg", "hole", "condition"),
        {"stud": ("eccentric_mm", "notch_deg", "within_deg")},
    ),
    "hole": Part(("at", "pin", "condition")),
    "counts": Part(("from", "to", "teeth")),
    "span": Part(("from", "to", "tension_n", "within_percent")),
}


def faults(block: Mapping[str, Any]) -> Iterator[tuple[Place, str, str, str]]:
    """
    Yield place (below `drive`), message, hint and code of each field that is missing or unknown.

    What is no mapping or list where one belongs is left to `solve`, which says so.
    """
    yield from _faults("drive", (), block)
    for name in ("belt", "span"):
        yield from _faults(name, (name,), block.get(name))
    for name in ("wheels", "counts"):
        listed = block.get(name)
        for at, each in enumerate(listed if isinstance(listed, list) else []):
            yield from _faults(name, (name, at), each)
            if name == "wheels" and isinstance(each, Mapping):
                yield from _faults("hole", (name, at, "hole"), each.get("hole"))


def _faults(name: str, place: Place, data: object) -> Iterator[tuple[Place, str, str, str]]:
    if not isinstance(data, Mapping):
        return
    part = PARTS[name]
    number = next((part + 1 for part in place if isinstance(part, int)), 0)
    where = t(words.WHERE, part=name, n=number)
    more = [need for field, needs in (part.given or {}).items() if field in data for need in needs]
    for word in (*part.must, *more):
        if data.keys().isdisjoint(word.split("|")):
            field = word.replace("|", t(words.OR))
            hint = t(words.FIELD[f"{name}.{word.split('|')[0]}"])
            yield place, t(words.MISSING, where=where, field=field), hint, "missing"
    for field in data:
        if field not in part.known:
            message = t(words.UNKNOWN, where=where, field=str(field))
            yield (*place, field), message, nearest(str(field), part.known), "unknown-field"
