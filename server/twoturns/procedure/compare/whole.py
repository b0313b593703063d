"""What two editions say of the whole job: vehicle, tools, kit, rules, ends, drive, pictures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from twoturns.procedure import shape
from twoturns.procedure.compare.change import (
    Change,
    Item,
    Kind,
    Place,
    moved,
    sentences,
    side_by_side,
    value,
)
from twoturns.procedure.compare.machines import Reading, end_in_machine
from twoturns.words import t
from twoturns.words.en.procedure.compare import whole as words

_JOB = Place(t(words.PROCEDURE))
_FIELDS = ("id", "name", "vehicle", "interrupt_minutes")


def head(before: shape.Bundle, after: shape.Bundle) -> Iterator[Change]:
    """Tell of another name, vehicle, engine, interval, caution or phase."""
    was, now = dict(before), dict(after)
    for field in _FIELDS:
        yield from value(_JOB, "procedure", t(words.FIELD[field]), was[field], now[field])
    codes = [", ".join(bundle["engine_codes"]) for bundle in (before, after)]
    yield from value(_JOB, "procedure", t(words.ENGINES), *codes)
    due = [_due(bundle["interval"]) for bundle in (before, after)]
    yield from value(_JOB, "figure", t(words.INTERVAL), *due)
    yield from sentences(_JOB, "caution", before["cautions"], after["cautions"])
    yield from _items(t(words.PHASE), "procedure", before["phases"], after["phases"], "id")
    yield from _items(t(words.CONDITION), "text", _flat(before), _flat(after), "id")
    yield from _items(t(words.PICTURE), "picture", before["assets"], after["assets"], "name")
    was_made, is_made = before.get("blocks", []), after.get("blocks", [])
    yield from _items(t(words.BLOCK), "procedure", was_made, is_made, "id")


def _due(interval: shape.Interval) -> str:
    return t(words.DUE, months=interval["months"], km=interval["km"])


def _flat(bundle: shape.Bundle) -> list[dict[str, str]]:
    """Return the conditions with each value's words in the place of the list of them."""
    return [
        {
            "id": each["id"],
            "kind": each["kind"],
            "label": each["label"],
            "start": each["start"],
            "values": ", ".join(f"{value['id']}: {value['says']}" for value in each["values"]),
        }
        for each in bundle["conditions"]
    ]


def equipment(before: shape.Bundle, after: shape.Bundle) -> Iterator[Change]:
    """Tell of tools and parts more, less, and otherwise than before."""
    yield from _items(t(words.TOOL), "tool", before["tools"], after["tools"], "slot")
    yield from _items(t(words.KIT), "kit", before["kit"], after["kit"], "part")


def rules(before: shape.Bundle, after: shape.Bundle) -> Iterator[Change]:
    """Tell of rules, and first of those that a maker's word takes otherwise."""
    sides = side_by_side(before["rules"], after["rules"], "id")
    for rule in sides.new:
        yield Place(_rule(rule)).change("order", t(words.RULE_NEW, never=rule["never"]))
        yield from _word(rule, None, rule.get("instead"))
    for rule in sides.gone:
        yield Place(_rule(rule)).change("order", t(words.RULE_GONE, never=rule["never"]))
        yield from _word(rule, rule.get("instead"), None)
    for was, now in sides.both:
        yield from _word(now, was.get("instead"), now.get("instead"))
        for field in ("kind", "never", "because"):
            name = t(words.RULE_FIELD[field])
            yield from value(Place(_rule(now)), "order", name, was[field], now[field])


def _rule(rule: Item) -> str:
    return t(words.RULE, rule=rule["id"])


def _word(rule: Item, before: Item | None, after: Item | None) -> Iterator[Change]:
    place = Place(_rule(rule))
    if before is None and after is not None:
        said = t(
            words.WORD_NEW,
            whose=_whose(after),
            says=after["says"],
            source=_source(after),
            gone=_gone(after),
        )
        yield place.change("instead", said)
    elif before is not None and after is None:
        yield place.change("instead", t(words.WORD_GONE, whose=_whose(before), says=before["says"]))
    elif before is not None and after is not None:
        yield from value(place, "instead", t(words.SOURCE), _source(before), _source(after))
        yield from value(place, "instead", t(words.WHOSE), _whose(before), _whose(after))
        for field in ("says", "why", "never", "because"):
            yield from value(place, "instead", t(words.WORD[field]), before[field], after[field])
        for field in ("holds", "gone"):
            part = place.part(t(words.WORD[field]))
            yield from sentences(part, "instead", before[field], after[field])


def _source(word: Item) -> str:
    cited = word["source"]
    return t(
        words.CITED,
        document=cited["document"],
        edition=cited["edition"],
        page=cited["page"],
        date=cited["date"],
    )


def _whose(word: Item) -> str:
    return str(word.get("whose", "maker"))


def _gone(word: Item) -> str:
    return "; ".join(word["gone"]) or t(words.NOTHING)


def ends(before: Reading, after: Reading) -> Iterator[Change]:
    """Tell of ends more, less, and otherwise than before."""
    old, new = before.bundle["ends"], after.bundle["ends"]
    yield from _items(t(words.END), "order", old, new, "id")
    for _, now in side_by_side(old, new, "id").both:
        place = Place(_item(t(words.END), now, "id"))
        yield from end_in_machine(place, now["id"], before, after)


def drive(before: shape.Bundle, after: shape.Bundle) -> Iterator[Change]:
    """Tell of another belt, wheel, count or span. What is drawn follows from these."""
    old, new = before["drive"], after["drive"]
    place = Place(t(words.DRIVE))
    yield from value(place, "drive", t(words.RUNNING), old["running"], new["running"])
    yield from _fields(Place(t(words.BELT)), "drive", old["belt"], new["belt"])
    yield from _items(t(words.WHEEL), "drive", old["wheels"], new["wheels"], "id")
    yield from _fields(Place(t(words.SPAN)), "drive", old["span"], new["span"])
    orders = [", ".join(each["order"]) for each in (old, new)]
    yield from value(place, "drive", t(words.ORDER), *orders)
    yield from _items(t(words.COUNT), "drive", _counts(old), _counts(new), "between")


def _counts(of: shape.Drive) -> list[Item]:
    return [
        {"between": t(words.BETWEEN, first=each["from"], last=each["to"]), "teeth": each["teeth"]}
        for each in of["counts"]
    ]


def _items(
    what: str, kind: Kind, before: Sequence[Item], after: Sequence[Item], key: str
) -> Iterator[Change]:
    """Tell of the items of a list that are new, gone, in another order, or otherwise."""
    sides = side_by_side(before, after, key)
    for item in sides.new:
        yield Place(_item(what, item, key)).change(kind, t(words.NEW, fields=_all(item, key)))
    for item in sides.gone:
        yield Place(_item(what, item, key)).change(kind, t(words.GONE))
    if moved([item[key] for item in before], [item[key] for item in after]):
        order = ", ".join(_name(item, key) for item in after)
        yield _JOB.change(kind, t(words.ANOTHER_ORDER, what=what, order=order))
    for was, now in sides.both:
        yield from _fields(Place(_item(what, now, key)), kind, was, now)


def _item(what: str, item: Item, key: str) -> str:
    return t(words.ITEM, what=what, name=_name(item, key))


def _name(item: Item, key: str) -> str:
    return str(item.get("label") or item.get("name") or item[key])


def _all(item: Item, key: str) -> str:
    named = {key, "label", "name"}
    shown = [f"{_field(name)} {_said(name, what)}" for name, what in item.items()]
    return ", ".join(said for said, name in zip(shown, item, strict=True) if name not in named)


def _fields(place: Place, kind: Kind, before: Item, after: Item) -> Iterator[Change]:
    """Tell of each field that is another; those of a field that has some are told one by one."""
    for name in dict.fromkeys([*before, *after]):
        was, now = before.get(name), after.get(name)
        if isinstance(was, dict) and isinstance(now, dict):
            yield from _fields(place.part(_field(name)), kind, was, now)
        else:
            yield from value(place, kind, _field(name), _said(name, was), _said(name, now))


def _field(name: str) -> str:
    """Return what a field is called: lengths and angles without their small unit."""
    return name.removesuffix("_um").removesuffix("_mdeg").replace("_", " ")


def _said(name: str, what: object) -> str:
    if what is None:
        return ""
    if isinstance(what, dict):
        return ", ".join(f"{_field(each)} {_said(each, of)}" for each, of in what.items())
    if name.endswith("_um"):
        return t(words.MILLIMETRES, n=Decimal(str(what)) / 1000)
    if name.endswith("_mdeg"):
        return t(words.DEGREES, n=Decimal(str(what)) / 1000)
    if isinstance(what, bool):
        return t(words.YES if what else words.NO)
    return str(what)
