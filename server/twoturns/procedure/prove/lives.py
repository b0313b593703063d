"""
The lives of parts: what is used once, what goes into the bin, what comes off and comes on again.

Along the straight job; of the ways back only whether one fits again what is used once. A part of
the kit is known in the engine by its `condition`, and is in its last place at the value that the
straight job ends with. Common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from twoturns.procedure import shape
from twoturns.procedure.compile.metal import AWAY, Metal
from twoturns.procedure.prove.finding import Finding
from twoturns.procedure.prove.packed import Packed
from twoturns.procedure.prove.phrases import Words
from twoturns.words import t
from twoturns.words.en.procedure.prove import lives as texts

Straight = Sequence[tuple[int, int, int]]


@dataclass
class _Life:
    """Where a part used once is: a new one may be `taken`, and be `spent`; the old one `binned`."""

    taken: bool = False
    spent: bool = False
    binned: bool = False
    told: set[str] = field(default_factory=set)


def short_lived(
    bundle: shape.Bundle, packed: Packed, words: Words, straight: Straight, metal: Metal
) -> Iterator[Finding]:
    """Tell each part that is used again, used up, thrown away too early, or left off."""
    if straight:
        lives = _Lives(bundle, packed, words, straight, metal)
        yield from lives.along_the_job()
        yield from lives.fitted_by_ways_back()
        yield from lives.not_fitted()
        yield from lives.bins_unbalanced()
        yield from lives.left_off()


class _Lives:
    def __init__(
        self,
        bundle: shape.Bundle,
        packed: Packed,
        words: Words,
        straight: Straight,
        metal: Metal,
    ) -> None:
        self.steps, self.kit = bundle["steps"], bundle["kit"]
        self.packed, self.words, self.straight, self.metal = packed, words, straight, metal
        self.end = straight[-1][2]
        once = {part["part"] for part in bundle["kit"] if part["single_use"]}
        self.once = {part: c for part, c in metal.parts.items() if part in once}
        self.labels = {part["part"]: part["label"] for part in bundle["kit"]}

    def _last(self, condition: int) -> int:
        """The value of a part's last place."""
        return self.packed.value(self.end, condition)

    def _takes(self, at: int) -> set[str]:
        return {use["part"] for use in self.steps[at].get("uses", [])}

    def along_the_job(self) -> Iterator[Finding]:
        """Each part that is used once, from step to step."""
        known = {*self.once, *(part for each in self.metal.bins for part in each)}
        known |= {part for each in self.metal.works_at for part in each}
        lives = {part: _Life() for part in sorted(known)}
        for number, (at, before, after) in enumerate(self.straight):
            for part, life in lives.items():
                for code, message, hint in self._lived(part, life, at, before, after):
                    if code not in life.told:
                        life.told.add(code)
                        yield self._told(code, message, hint, number)

    def _lived(
        self, part: str, life: _Life, at: int, before: int, after: int
    ) -> Iterator[tuple[str, str, str]]:
        """What one step does to one part: worked at, moved, thrown away, taken new, fitted."""
        step, label = self.words.step(at), self.labels[part]
        worked = part in self.metal.works_at[at]
        c = self.once.get(part)
        last = None if c is None else self._last(c)
        if worked and life.binned and not life.taken:
            yield (
                "part-binned",
                t(texts.PART_BINNED, step=step, label=label),
                t(texts.PART_BINNED_HINT),
            )
        if c is not None and self.packed.value(before, c) == last and self._leaves(at, c, last):
            life.spent = life.spent or life.taken
        if worked and life.taken:
            life.spent = True
        if life.spent and (worked or self._leaves(at, c, last)):
            yield (
                "part-used-up",
                t(texts.PART_USED_UP, step=step, label=label),
                t(texts.PART_USED_UP_HINT),
            )
        if part in self.metal.bins[at]:
            life.binned = True
        if part in self._takes(at):
            life.taken, life.spent = True, False
        is_fitted = c is not None and self.packed.value(after, c) == last
        if is_fitted and self._writes(at, c, last) and not life.taken:
            yield (
                "part-again",
                t(texts.PART_AGAIN, step=step, label=label),
                t(texts.PART_AGAIN_HINT),
            )

    def _leaves(self, at: int, condition: int | None, value: int | None) -> bool:
        """Whether a step takes a part out of its last place, on its way or for good."""
        if condition is None or value is None:
            return False
        on_the_way = {pair[0]: pair[1] for pair in self.packed.steps[at]["on_the_way"]}
        return bool(on_the_way.get(condition, 0) & ~(1 << value))

    def _writes(self, at: int, condition: int | None, value: int | None) -> bool:
        return any(pair == [condition, value] for pair in self.packed.steps[at]["effect"])

    def fitted_by_ways_back(self) -> Iterator[Finding]:
        """A way back that brings a part used once to its last place takes a new one."""
        for at, step in enumerate(self.steps):
            for part, c in self.once.items():
                is_fitted = step["undo"] and self._writes(at, c, self._last(c))
                if is_fitted and part not in self._takes(at):
                    yield Finding(
                        "part-again",
                        t(texts.PART_AGAIN, step=self.words.step(at), label=self.labels[part]),
                        t(texts.PART_AGAIN_HINT),
                        place=self.words.place("steps", at),
                    )

    def not_fitted(self) -> Iterator[Finding]:
        """A part of the kit that the straight job fits nowhere."""
        for part, c in self.metal.parts.items():
            if not any(self._writes(at, c, self._last(c)) for at, _, _ in self.straight):
                yield Finding(
                    "part-not-fitted",
                    t(texts.PART_NOT_FITTED, label=self.labels[part]),
                    t(texts.PART_NOT_FITTED_HINT),
                    place=self.words.place("kit", part),
                )

    def bins_unbalanced(self) -> Iterator[Finding]:
        """As many old ones go into the bin as the kit has new ones."""
        binned: Counter[str] = Counter()
        for at, _, _ in self.straight:
            binned.update(self.metal.bins[at])
        for part in self.kit:
            count = binned[part["part"]]
            if count and count != part["count"]:
                yield Finding(
                    "parts-unbalanced",
                    t(
                        texts.BINS_UNBALANCED,
                        label=part["label"],
                        count=part["count"],
                        binned=count,
                    ),
                    t(texts.BINS_UNBALANCED_HINT),
                    place=self.words.place("kit", part["part"]),
                )

    def left_off(self) -> Iterator[Finding]:
        """What the straight job takes off and ends without."""
        parts = {*self.metal.parts.values(), *(cover.front for cover in self.metal.covers)}
        for c in sorted(parts):
            start = self.packed.value(self.packed.start(), c)
            values = self.packed.machine["conditions"][c]["values"]
            if values[start] not in AWAY and values[self._last(c)] in AWAY:
                moves = [n for n, (at, _, _) in enumerate(self.straight) if self._moves(at, c)]
                message = t(texts.LEFT_OFF, says=self.words.value(c, self._last(c)))
                yield self._told("part-left-off", message, t(texts.LEFT_OFF_HINT), moves[-1])

    def _moves(self, at: int, condition: int) -> bool:
        return any(pair[0] == condition for pair in self.packed.steps[at]["effect"])

    def _told(self, code: str, message: str, hint: str, number: int) -> Finding:
        """A finding at a step of the straight job, with the way there."""
        way = [at for at, _, _ in self.straight[: number + 1]]
        return Finding(
            code,
            message,
            hint,
            place=self.words.place("steps", way[-1]),
            way=tuple(str(self.steps[at]["id"]) for at in way),
            sequence=tuple(self.words.step(at) for at in way),
        )
