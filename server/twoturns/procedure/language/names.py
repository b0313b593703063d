"""
The conditions of a procedure as numbers, and the faults found while its words are looked up.

A condition, a value and a step are their places in the source's lists; a set of values is a mask
with a bit for each. See formats.md, section 6.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from twoturns.procedure.errors import SourceError, nearest
from twoturns.procedure.language.source import Document, Path, Source
from twoturns.words import t
from twoturns.words.en.procedure.language import names as texts

Move = tuple[int, int]


@dataclass(frozen=True)
class Condition:
    """One variable. A proof condition's first value is *unproved*, and it starts there."""

    id: str
    proof: bool
    label: str
    values: tuple[str, ...]
    says: tuple[str, ...]
    start: int

    @property
    def every(self) -> int:
        """The mask of all values."""
        return (1 << len(self.values)) - 1

    @property
    def proved(self) -> int:
        """The mask of all values but the first."""
        return self.every & ~1


class Names:
    """Looks words up and collects what cannot be found."""

    def __init__(
        self,
        document: Document,
        data: Source,
        bringers: Callable[[str, str], Iterable[str]] = lambda word, value: (),
    ) -> None:
        """`bringers`: the blocks, not taken, that bring a condition, or a value of one."""
        self.document, self._bringers = document, bringers
        self.problems: list[SourceError] = []
        self.conditions = [
            self._condition(kind, condition_id, written)
            for kind in ("engine", "proof")
            for condition_id, written in data["conditions"][kind].items()
        ]
        self.index = {condition.id: at for at, condition in enumerate(self.conditions)}
        for twice in data["conditions"]["engine"].keys() & data["conditions"]["proof"].keys():
            self.refuse(
                ("conditions", "proof", twice),
                t(texts.CONDITION_AND_PROOF, twice=twice),
                t(texts.CONDITION_AND_PROOF_HINT),
                "twice",
            )

    def _condition(self, kind: str, condition_id: str, written: Source) -> Condition:
        values = tuple(written["values"])
        path = ("conditions", kind, condition_id)
        start = written.get("start", values[0])
        if start not in values:
            self.unknown((*path, "start"), "value", start, values)
            start = values[0]
        if kind == "proof" and start != values[0]:
            self.refuse(
                (*path, "start"),
                t(texts.PROOF_STARTS_PROVED, condition_id=condition_id, start=start),
                t(texts.PROOF_STARTS_PROVED_HINT, values=values[0]),
                "proof-start",
            )
        says = tuple(written["values"].values())
        is_proof = kind == "proof"
        return Condition(
            condition_id, is_proof, written["label"], values, says, values.index(start)
        )

    def refuse(self, path: Path, message: str, hint: str, code: str) -> None:
        """Note a fault of the source, with its line, and go on."""
        self.problems.append(self.document.error(path, message, hint=hint, code=code))

    def unknown(self, path: Path, what: str, word: str, known: Iterable[str]) -> None:
        """Note a word that names nothing, with the nearest of those that do."""
        self.refuse(
            path, t(texts.UNKNOWN_NAME, what=what, word=word), nearest(word, known), "unknown"
        )

    def _unknown_or_brought(
        self, path: Path, what: str, word: str, known: Iterable[str], sought: tuple[str, str]
    ) -> None:
        """Note a word that names nothing, with the block that would bring it, if there is one."""
        blocks = list(self._bringers(*sought))
        if not blocks:
            self.unknown(path, what, word, known)
            return
        hint = t(texts.BROUGHT_BY, blocks=", ".join(blocks), word=word)
        self.refuse(path, t(texts.UNKNOWN_NAME, what=what, word=word), hint, "unknown")

    def condition(self, path: Path, word: str, *, proof: bool | None = None) -> int | None:
        """Return the number of a condition; with `proof` given, of that kind only."""
        at = self.index.get(word)
        kind = {None: "condition", True: "proof", False: t(texts.ENGINE_CONDITION)}[proof]
        if at is None or proof not in (None, self.conditions[at].proof):
            known = (each.id for each in self.conditions if proof in (None, each.proof))
            self._unknown_or_brought(path, kind, word, known, (word, ""))
            return None
        return at

    def value(self, path: Path, condition: int, word: str) -> int | None:
        """Return the number of a value."""
        values, name = self.conditions[condition].values, self.conditions[condition].id
        if word not in values:
            what = t(texts.VALUE_OF, id=name)
            self._unknown_or_brought(path, what, word, values, (name, word))
            return None
        return values.index(word)

    def move(self, path: Path, words: str) -> Move | None:
        """Return the numbers of `condition=value`."""
        word, _, value_word = words.partition("=")
        condition = self.condition(path, word)
        if condition is None:
            return None
        value = self.value(path, condition, value_word)
        return None if value is None else (condition, value)

    def mask(self, path: Path, condition: int, words: Iterable[str]) -> int:
        """Return the mask of the values named."""
        found = (self.value(path, condition, word) for word in words)
        return sum({1 << value for value in found if value is not None})

    def masks(self, path: Path, needs: dict[str, list[str]]) -> dict[int, int]:
        """Return the masks of `{condition: [values]}`."""
        masks = {}
        for word, values in needs.items():
            condition = self.condition((*path, word), word)
            if condition is not None:
                masks[condition] = self.mask((*path, word), condition, values)
        return masks

    def spoken(self, condition: int, value: int) -> str:
        """Return `condition=value` in the source's words."""
        return f"{self.conditions[condition].id}={self.conditions[condition].values[value]}"
