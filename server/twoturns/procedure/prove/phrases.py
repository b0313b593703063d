"""
The words of what proving finds: steps by number and title, failures as they are seen.

The names of steps are for programs (`Finding.way`); a person reads the sentences.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from twoturns.procedure import shape
from twoturns.procedure.errors import Place
from twoturns.procedure.language.source import Document, Path
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.walk import Deed
from twoturns.words import t
from twoturns.words.en.procedure.prove import phrases as texts


class Words:
    """Says the parts of one bundle, and knows where they stand in its source."""

    def __init__(self, bundle: shape.Bundle, document: Document | None = None) -> None:
        self.bundle, self._document = bundle, document
        self.steps: list[shape.Step] = bundle["steps"]

    def place(self, *path: str | int) -> Place | None:
        """The place of a part of the source; None if it is not there, or no source is known."""
        if self._document is None or not _has(self._document.data, path):
            return None
        return self._document.place(path, key=isinstance(path[-1], str))

    def step(self, at: int) -> str:
        """Return a step as findings name it: its number and title, or the way back."""
        step = self.steps[at]
        return f"back: {step['title']}" if step["undo"] else f"{step['number']} {step['title']}"

    def short(self, at: int) -> str:
        """A step by its number alone, or by its title where it has none."""
        return str(self.steps[at]["number"] or self.steps[at]["title"])

    def value(self, condition: int, value: int) -> str:
        """How a condition is, as a part of a sentence."""
        return str(self.bundle["conditions"][condition]["values"][value]["says"])

    def rule(self, at: int) -> str:
        """A rule as a part of a sentence: never this while that."""
        never = str(self.bundle["rules"][at]["never"])
        return f"never {never[0].lower()}{never[1:]}"

    def is_outside(self, packed: Packed, state: int, pairs: Iterable[Sequence[int]]) -> str:
        """How those conditions are that are not inside their masks."""
        values = [(c, mask, packed.value(state, c)) for c, mask in pairs]
        found = [self.value(c, value) for c, mask, value in values if not mask >> value & 1]
        return listed(dict.fromkeys(found))

    def deed(self, packed: Packed, deed: Deed) -> str:
        """A deed in words: the step, how it failed, and what a look finds then."""
        said = self.step(deed.step)
        if deed.seen is not None:
            values = [self.value(c, value) for c, value in deed.seen]
            return t(
                texts.BEGUN_AND_LEFT,
                said=said,
                listed=listed(values or [t(texts.NOTHING_NEW)]),
            )
        if deed.passed:
            return t(texts.PASSED_WITH_REASON, said=said)
        if deed.failure is None:
            return said
        said += f": {self.steps[deed.step]['fails'][deed.failure]['says']}"
        look = packed.steps[deed.step]["fails"][deed.failure]["look"]
        if not look:
            return said
        found = listed(self.value(c, packed.value(deed.after, c)) for c in look)
        return t(texts.LOOK_FINDS, said=said, found=found)

    def name(self, deed: Deed) -> str:
        """A deed by the names that programs use."""
        step = self.steps[deed.step]
        if deed.seen is not None:
            return f"{step['id']}: interrupted"
        if deed.passed:
            return f"{step['id']}: passed"
        if deed.failure is None:
            return str(step["id"])
        return f"{step['id']}: {step['fails'][deed.failure]['id']}"


def _has(node: Any, path: Path) -> bool:  # noqa: ANN401 - plain data of a source
    for part in path:
        try:
            node = node[part]
        except (KeyError, IndexError, TypeError):
            return False
    return True


def listed(words: Iterable[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
