"""Steps of two editions side by side: added, taken away, moved, and otherwise than before."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twoturns.procedure import shape
from twoturns.procedure.compare.change import (
    Change,
    Item,
    Place,
    moved,
    sentences,
    side_by_side,
    value,
)
from twoturns.procedure.compare.figures import torque
from twoturns.procedure.compare.machines import Reading, step_in_machine
from twoturns.procedure.compare.proofs import proofs
from twoturns.words import t
from twoturns.words.en.procedure.compare import steps as words


def steps(before: Reading, after: Reading) -> Iterator[Change]:
    """Tell what of the steps is another."""
    old, new = before.bundle["steps"], after.bundle["steps"]
    sides = side_by_side(old, new, "id")
    ids = [step["id"] for step in new]
    for step in sides.new:
        yield _place(step).change(
            "step", t(words.ADDED, title=step["title"], after=_after(new, step))
        )
    for step in sides.gone:
        said = t(words.TAKEN_AWAY, title=step["title"], after=_after(old, step))
        yield Place(t(words.OF_THE_FORMER, place=_named(step)), step["id"]).change("step", said)
    away = moved([step["id"] for step in old], ids)
    for was, now in sides.both:
        if now["id"] in away:
            yield _place(now, was).change("step", _moved(old, new, was, now))
    is_renumbered = not (sides.new or sides.gone or away)
    for was, now in sides.both:
        if is_renumbered and was["number"] != now["number"]:
            yield _place(now).change("text", t(words.WAS_NUMBER, number=was["number"]))
        if was != now:
            yield from _step(_place(now, was), was, now)
        yield from step_in_machine(_place(now, was), now["id"], before, after)


def _named(step: Item) -> str:
    if step["number"]:
        return t(words.STEP, number=step["number"])
    return t(words.UNNUMBERED, title=step["title"])


def _place(step: Item, before: Item | None = None) -> Place:
    said = _named(step)
    if before and step["number"] and before["number"] != step["number"]:
        said = t(words.WAS, step=said, number=before["number"])
    return Place(said, step["id"])


def _after(listed: Sequence[Item], step: Item) -> str:
    """Return what stands before a step."""
    at = next(at for at, each in enumerate(listed) if each["id"] == step["id"])
    return t(words.THE_BEGINNING) if at == 0 else str(listed[at - 1]["title"])


def _moved(old: Sequence[Item], new: Sequence[Item], was: Item, now: Item) -> str:
    stands, stood = _after(new, now), _after(old, was)
    return t(words.MOVED, title=now["title"], stands=stands, stood=stood)


def _step(place: Place, before: Item, after: Item) -> Iterator[Change]:
    yield from value(place, "step", t(words.PHASE), before["phase"], after["phase"])
    yield from _torque(place, before, after)
    yield from proofs(place, before["proof"], after["proof"])
    yield from _kinds(place, before, after)
    yield from _caution(place, before.get("caution"), after.get("caution"))
    yield from _picture(place, before.get("picture"), after.get("picture"))
    for field in ("tools_out", "tools_in"):
        yield from value(
            place, "tool", t(words.FIELD[field]), _listed(before[field]), _listed(after[field])
        )
    yield from value(place, "kit", t(words.USES), _used(before), _used(after))
    yield from _failures(place, before["fails"], after["fails"])
    for field in ("title", "act", "because"):
        yield from value(place, "text", t(words.FIELD[field]), before.get(field), after.get(field))
    yield from sentences(place, "text", before["says"], after["says"])
    yield from value(
        place, "text", t(words.FIELD["look"]), _listed(before["look"]), _listed(after["look"])
    )
    yield from value(
        place, "text", t(words.FIELD["drawn"]), before.get("drawn"), after.get("drawn")
    )


def _torque(place: Place, before: Item, after: Item) -> Iterator[Change]:
    was, now = before.get("torque"), after.get("torque")
    yield from value(place, "figure", t(words.TORQUE), torque(was), torque(now))
    stages = [of["sequence"] if of else [] for of in (was, now)]
    yield from sentences(place.part(t(words.STAGES)), "figure", *stages)


def _kinds(place: Place, before: Item, after: Item) -> Iterator[Change]:
    for field in ("undo", "must", "once"):
        if before[field] != after[field]:
            is_so = str(after[field]).lower()
            yield place.change("order", t(words.IS_SO[field], so=is_so))
    for field in ("together", "permit"):
        yield from value(place, "order", t(words.FIELD[field]), before.get(field), after.get(field))
    under = [step.get("instead", []) for step in (before, after)]
    for rule in (rule for rule in under[1] if rule not in under[0]):
        yield place.change("instead", t(words.UNDER_WORD, rule=rule))
    for rule in (rule for rule in under[0] if rule not in under[1]):
        yield place.change("instead", t(words.NO_LONGER_UNDER_WORD, rule=rule))


def _caution(place: Place, before: Item | None, after: Item | None) -> Iterator[Change]:
    was, now = (_warned(caution) for caution in (before, after))
    yield from value(place, "caution", t(words.CAUTION), was, now)


def _picture(place: Place, before: Item | None, after: Item | None) -> Iterator[Change]:
    was, now = ("" if shown is None else str(shown["asset"]) for shown in (before, after))
    yield from value(place, "picture", t(words.PICTURE), was, now)
    says = [(shown or {}).get("says", "") for shown in (before, after)]
    yield from value(place, "picture", t(words.PICTURE_SAYS), *says)
    if before and after and before["asset"] == after["asset"]:
        for part in ("crop", "arrow"):
            if before.get(part) != after.get(part):
                yield place.change("picture", t(words.PICTURE_SHOWN_OTHERWISE[part]))


def _warned(caution: Item | None) -> str:
    return "" if caution is None else t(words.WARNED, says=caution["says"], sign=caution["sign"])


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names)


def _used(step: Item) -> str:
    uses: list[shape.Use] = step.get("uses", [])
    return _listed([t(words.USED, part=use["part"], count=use["count"]) for use in uses])


def _failures(place: Place, before: Sequence[Item], after: Sequence[Item]) -> Iterator[Change]:
    sides = side_by_side(before, after, "id")
    for failure in sides.new:
        yield place.change(
            "failure", t(words.FAILURE_NEW, says=failure["says"], then=failure["then"])
        )
    for failure in sides.gone:
        yield place.change(
            "failure", t(words.FAILURE_GONE, says=failure["says"], then=failure["then"])
        )
    for was, now in sides.both:
        part = place.part(t(words.FAILURE, name=now["id"]))
        for field in ("says", "then"):
            yield from value(part, "failure", t(words.FAILS[field]), was[field], now[field])
        if was.get("finding") != now.get("finding"):
            said = t(words.FAILURE_FOUND, so=bool(now.get("finding")))
            yield part.change("failure", said)
