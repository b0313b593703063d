"""
What a bundle's bytes are judged by: marshmallow schemas made of its shape, and what its machine
must agree on.

These schemas judge bytes of unknown origin: they take nothing for another thing, and know no
defaults.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from types import UnionType
from typing import (
    Annotated,
    Any,
    Final,
    Literal,
    NotRequired,
    get_args,
    get_origin,
    get_type_hints,
    is_typeddict,
)

from marshmallow import EXCLUDE, RAISE, Schema, ValidationError, fields, validate

from twoturns.procedure import shape
from twoturns.procedure.shape import AtMost, Matches, Two, Unjudged
from twoturns.words import t
from twoturns.words.en.procedure.compile import form as words
from twoturns.words.en.procedure.compile import instead

Field = fields.Field[Any]  # of whatever a member may be
UNKNOWN: Final = t(words.UNKNOWN_NAME)  # of a field: nothing else says so


class Form(Schema):
    class Meta:
        unknown = RAISE

    error_messages = {"unknown": UNKNOWN}  # noqa: RUF012 - marshmallow declares it for instances


class _Flag(fields.Field[bool]):
    """true or false; marshmallow's own also takes 1 and "yes"."""

    def _deserialize(self, value: object, attr: str | None, data: object, **more: object) -> bool:
        if not isinstance(value, bool):
            raise ValidationError(t(words.NOT_BOOLEAN))
        return value


class _Pair(fields.Field[list[int]]):
    """[condition, value or mask]: two integers."""

    def _deserialize(
        self, value: object, attr: str | None, data: object, **more: object
    ) -> list[int]:
        if (
            not isinstance(value, list)
            or len(value) != 2
            or not all(type(part) is int and part >= 0 for part in value)
        ):
            raise ValidationError(t(words.NOT_INTEGER_PAIR))
        return value


@cache
def schema_of(of: type) -> type[Schema]:
    """Return the schema of a TypedDict of `shape`."""
    hints = get_type_hints(of, include_extras=True)
    return Form.from_dict(
        {name: _field(hint, is_required=True) for name, hint in hints.items()},
        name=of.__name__,
    )


def outline_schema() -> Schema:
    """Return the schema of what bundles of every form say alike; the rest it does not look at."""
    return schema_of(shape.Outline)(unknown=EXCLUDE)


def _field(hint: object, *, is_required: bool) -> Field:
    """Return the field that takes what a member of this type may be."""
    origin, parts = get_origin(hint), get_args(hint)
    if origin is NotRequired:
        return _field(parts[0], is_required=False)
    if origin is Annotated:
        return _marked(parts[0], parts[1:], is_required)
    if origin is Literal:
        return _choice(parts, is_required)
    if origin is UnionType:  # text or null: no other is in use
        return fields.String(required=is_required, allow_none=True)
    if origin is list:
        return _list(parts[0], is_required)
    return _one(hint, is_required)


def _list(inner: object, is_required: bool) -> Field:
    if is_typeddict(inner):
        return fields.Nested(_schema_in(inner), many=True, required=is_required)
    return fields.List(_field(inner, is_required=True), required=is_required)


def _one(hint: object, is_required: bool) -> Field:
    if is_typeddict(hint):
        return fields.Nested(_schema_in(hint), required=is_required)
    if hint is bool:
        return _Flag(required=is_required)
    if hint is int:
        return fields.Integer(strict=True, required=is_required)
    return fields.String(required=is_required)


def _schema_in(hint: object) -> type[Schema]:
    assert isinstance(hint, type)  # noqa: S101 - a TypedDict is a class
    return schema_of(hint)


def _marked(base: object, marks: tuple[object, ...], is_required: bool) -> Field:
    for mark in marks:
        if isinstance(mark, Matches):
            judge = validate.Regexp(rf"(?:{mark.pattern})\Z")
            return fields.String(required=is_required, validate=judge)
        if isinstance(mark, AtMost):
            judged = validate.Length(0, mark.characters)
            return fields.String(required=is_required, validate=judged)
        if isinstance(mark, Two):
            return _Pair(required=is_required)
        if isinstance(mark, Unjudged):
            one_of = fields.Dict if is_typeddict(base) else fields.Raw
            return one_of(required=is_required)
    return _field(base, is_required=is_required)


def _choice(values: tuple[object, ...], is_required: bool) -> Field:
    if values == (shape.FORM,):
        equal = validate.Equal(shape.FORM)
        return fields.Integer(strict=True, required=is_required, validate=equal)
    return fields.String(required=is_required, validate=validate.OneOf(values))


def faults_of_machine(bundle: shape.Bundle) -> Iterator[str]:
    """Say where the machine does not fit the bundle, or points outside itself."""
    machine = bundle["machine"]
    if _told_conditions(bundle) != [
        (each["id"], each["proof"], each["values"], each["start"]) for each in machine["conditions"]
    ]:
        yield t(words.CONDITIONS_DIFFER)
    told = [(each["id"], each["undo"], each["must"]) for each in bundle["steps"]]
    if told != [(each["id"], each["undo"], each["must"]) for each in machine["steps"]]:
        yield t(words.STEPS_DIFFER)
    if [each["id"] for each in bundle["ends"]] != [each["id"] for each in machine["ends"]]:
        yield t(words.ENDS_DIFFER)
    yield from _faults_of_words(bundle)
    sizes = [len(each["values"]) for each in machine["conditions"]]
    for step in machine["steps"]:
        if not all(_step_fits(step, sizes, len(bundle["rules"]))):
            yield t(words.STEP_OUTSIDE_MACHINE, id=step["id"])
    if not all(_rest_fits(each, sizes) for each in machine["rests"]):
        yield t(words.RESTS_OUTSIDE_MACHINE)
    if not all(_maker_fits(each, sizes, len(machine["steps"])) for each in machine["makers"]):
        yield t(words.MAKERS_OUTSIDE_MACHINE)
    if not all(_masks_fit(each["conditions"], sizes) for each in machine["ends"]):
        yield t(words.END_OUTSIDE_MACHINE)


def _faults_of_words(bundle: shape.Bundle) -> Iterator[str]:
    steps = range(len(bundle["machine"]["steps"]))
    if not all(_words_are_shown(bundle, at) for at in steps):
        yield t(words.MAKERS_WORD_MISSING)
    if not all(_held_is_told(bundle, at) for at in steps):
        yield t(words.HELD_UNTOLD)
    shown = {step["picture"]["asset"] for step in bundle["steps"] if "picture" in step}
    if not shown <= {asset["name"] for asset in bundle["assets"]}:
        yield t(words.PICTURE_NOT_CARRIED)


def _words_are_shown(bundle: shape.Bundle, at: int) -> bool:
    """Whether a step names each rule with a maker's word that it comes under, and no other rule."""
    under = [rule["id"] for rule in bundle["rules"] if "instead" in rule]
    asked = (
        bundle["rules"][each["rule"]]
        for each in bundle["machine"]["steps"][at]["rules"]
        if 0 <= each["rule"] < len(bundle["rules"])
    )
    named = bundle["steps"][at].get("instead", [])
    return {*named} <= {*under} and {r["id"] for r in asked if "instead" in r} <= {*named}


def _held_is_told(bundle: shape.Bundle, at: int) -> bool:
    """Whether each rule with a maker's word tells what the machine asks for at a step."""
    for each in bundle["machine"]["steps"][at]["rules"]:
        rule = bundle["rules"][each["rule"]] if 0 <= each["rule"] < len(bundle["rules"]) else None
        if rule is None or "instead" not in rule:
            continue
        held = set(rule["instead"]["holds"])
        if not {_said(bundle, c, mask) for c, mask in each["guard"] if mask} <= held:
            return False
    return True


def _said(bundle: shape.Bundle, condition: int, mask: int) -> str:
    known = bundle["conditions"][condition : condition + 1]
    values = [value["says"] for one in known for value in one["values"]]
    return t(instead.OR).join(says for at, says in enumerate(values) if mask >> at & 1)


def _told_conditions(bundle: shape.Bundle) -> list[tuple[str, bool, list[str], int]]:
    told = []
    for each in bundle["conditions"]:
        values = [value["id"] for value in each["values"]]
        start = values.index(each["start"]) if each["start"] in values else -1
        told.append((each["id"], each["kind"] == "proof", values, start))
    return told


def _step_fits(step: shape.MachineStep, sizes: list[int], rules: int) -> Iterator[bool]:
    for masks in (step["guard"], step["moves"], step["on_the_way"]):
        yield _masks_fit(masks, sizes)
    for values in (step["effect"], step["reopen"]):
        yield _values_fit(values, sizes)
    for failure in step["fails"]:
        yield _values_fit(failure["effect"], sizes)
        yield all(0 <= condition < len(sizes) for condition in failure["look"])
    for rule in step["rules"]:
        yield 0 <= rule["rule"] < rules and _masks_fit(rule["guard"], sizes)


def _masks_fit(pairs: list[shape.Pair], sizes: list[int]) -> bool:
    return all(c < len(sizes) and mask < 1 << sizes[c] for c, mask in pairs)


def _values_fit(pairs: list[shape.Pair], sizes: list[int]) -> bool:
    return all(c < len(sizes) and value < sizes[c] for c, value in pairs)


def _whole(value: object, below: int) -> bool:
    return type(value) is int and 0 <= value < below


def _rest_fits(rest: object, sizes: list[int]) -> bool:
    return (
        isinstance(rest, list)
        and len(rest) == 2
        and _whole(rest[0], len(sizes))
        and isinstance(rest[1], list)
        and all(_whole(each, len(sizes)) for each in rest[1])
    )


def _maker_fits(maker: object, sizes: list[int], steps: int) -> bool:
    return (
        isinstance(maker, list)
        and len(maker) == 3
        and _whole(maker[0], len(sizes))
        and _whole(maker[1], sizes[maker[0]])
        and isinstance(maker[2], list)
        and all(_whole(each, steps) for each in maker[2])
    )
