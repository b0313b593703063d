"""What a step is proved by, laid beside what it was proved by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twoturns.procedure.compare.change import Change, Item, Kind, Place, side_by_side, value
from twoturns.procedure.compare.figures import window_change, with_unit
from twoturns.words import t
from twoturns.words.en.procedure.compare import proofs as words

#: What each field of a proof is called, and what kind of change another value of it is.
_FIELDS: dict[str, Kind] = {
    "kind": "proof",
    "by": "proof",
    "of": "proof",
    "part": "proof",
    "wheel": "proof",
    "like": "proof",
    "tool": "tool",
    "label": "text",
    "hint": "text",
}


def proofs(place: Place, before: Sequence[Item], after: Sequence[Item]) -> Iterator[Change]:
    """Tell of proofs asked anew, no longer asked, asked in another order, or asked otherwise."""
    sides = side_by_side(before, after, "name")
    for proof in sides.new:
        yield place.change("proof", t(words.ASKED_ANEW, proof=_named(proof)))
    for proof in sides.gone:
        yield place.change("proof", t(words.NO_LONGER_ASKED, proof=_named(proof)))
    if [was["name"] for was in before if was not in sides.gone] != [
        now["name"] for _, now in sides.both
    ]:
        order = ", ".join(now["label"] for _, now in sides.both)
        yield place.change("proof", t(words.ANOTHER_ORDER, order=order))
    for was, now in sides.both:
        yield from _proof(place, was, now)


def _named(proof: Item) -> str:
    said = t(words.NAMED, label=proof["label"], kind=proof["kind"])
    figures = with_unit(proof)
    return t(words.NAMED_WITH_FIGURES, said=said, figures=figures) if figures else said


def _proof(place: Place, before: Item, after: Item) -> Iterator[Change]:
    yield from window_change(place, before, after)
    part = place.part(after["label"])
    for field, kind in _FIELDS.items():
        was, now = (_said(proof.get(field)) for proof in (before, after))
        yield from value(part, kind, t(words.FIELD[field]), was, now)
    yield from _options(part, before.get("options", []), after.get("options", []))


def _said(written: str | list[str] | None) -> str:
    return ", ".join(written) if isinstance(written, list) else written or ""


def _options(place: Place, before: Sequence[Item], after: Sequence[Item]) -> Iterator[Change]:
    sides = side_by_side(before, after, "id")
    for option in sides.new:
        yield place.change("proof", t(words.ANSWER_NEW, answer=_answer(option)))
    for option in sides.gone:
        yield place.change("proof", t(words.ANSWER_GONE, answer=_answer(option)))
    for was, now in sides.both:
        if was != now:
            said = t(words.ANSWER_OTHERWISE, was=_answer(was), now=_answer(now))
            yield place.change("proof" if was["ok"] != now["ok"] else "text", said)


def _answer(option: Item) -> str:
    return t(
        words.GOOD if option["ok"] else words.BAD,
        says=option["says"],
        finding=bool(option.get("finding")),
        permit=option.get("permit", "none"),
    )
