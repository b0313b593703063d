"""
What the server answers: of each member its type, of which marshmallow's field is made.

    class PlannedRow(Answer):
        person: str | None
        twice: Annotated[bool, "Somebody else planned, too, and did not know."]

A member may be null (`| None`), may be absent (`MayLack`), may be one of some texts (`Literal`, or
a validator in `Annotated`), and what is to be known of it stands beside it (a text in `Annotated`).
What a room below makes as it is to be told, a TypedDict, says its members once: `answer_of` it.
What a device sends is no such thing but a `Form`: it is judged.
"""

from collections.abc import Mapping
from functools import cache
from types import NoneType, UnionType
from typing import (
    Annotated,
    Any,
    Literal,
    TypeVar,
    Union,
    cast,
    get_args,
    get_origin,
    get_type_hints,
    is_typeddict,
)

from marshmallow import Schema, fields, validate
from marshmallow.schema import SchemaMeta

_SIMPLE: dict[object, type[fields.Field[Any]]] = {
    str: fields.String,
    int: fields.Integer,
    float: fields.Float,
    bool: fields.Boolean,
}
_MAY_LACK = object()
T = TypeVar("T")
MayLack = Annotated[T, _MAY_LACK]


class OursByName(fields.Dict):
    """Values of our own making, by name: told as they stand, as marshmallow would tell each."""

    def _serialize(
        self,
        value: Mapping[Any, Any] | None,
        attr: str | None,
        obj: object,
        **kwargs: Any,
    ) -> dict[Any, Any] | None:
        return None if value is None else dict(value)


class _ByTypes(SchemaMeta):
    """Makes a field of each member's type."""

    def __new__(mcs, name: str, bases: tuple[type, ...], said: dict[str, Any]) -> SchemaMeta:
        members = said.get("__annotations__", {})
        made = {member: _field(form) for member, form in members.items()}
        return super().__new__(mcs, name, bases, {**said, **made})


class Answer(Schema, metaclass=_ByTypes):
    """Base of every answer."""


@cache
def answer_of(told: type) -> type[Answer]:
    """Return the answer of a TypedDict's members and docstring, called as it is: `FittedAnswer`."""
    members = get_type_hints(told, include_extras=True)
    said = {"__doc__": told.__doc__, "__module__": told.__module__, "__annotations__": members}
    return cast(type[Answer], _ByTypes(f"{told.__name__}Answer", (Answer,), said))


def _field(form: Any, **told: Any) -> fields.Field[Any]:  # noqa: ANN401 - any type that hints name
    """
    Return the field of a member.

    Raises:
        TypeError: If it is of a type that no answer had yet.
    """
    origin, of = get_origin(form), get_args(form)
    if origin is Annotated:
        return _field(of[0], **{**_beside(of[1:]), **told})
    if origin in (Union, UnionType):  # `X | None` of a Literal is a Union
        (known,) = (each for each in of if each is not NoneType)
        return _field(known, **{"allow_none": True, **told})
    told = {"required": True, **told}
    if origin is Literal:
        return fields.String(validate=validate.OneOf(of), **told)
    if origin is list:
        return fields.List(_inner(of[0]), **told)
    if origin is dict:
        return OursByName(keys=_inner(of[0]), values=_inner(of[1]), **told)
    if is_typeddict(form):
        form = answer_of(form)
    if isinstance(form, _ByTypes):
        return fields.Nested(form, **told)
    if form in _SIMPLE:
        return _SIMPLE[form](**told)
    raise TypeError(f"no field is made of {form!r} yet")


def _inner(form: object) -> fields.Field[Any]:
    """Return the field of what a list or a mapping holds: of it nothing is absent."""
    return _field(form, required=False)


def _beside(said: tuple[object, ...]) -> dict[str, Any]:
    """Return what stands beside a type: words, what else holds of a value, whether it may lack."""
    words = [each for each in said if isinstance(each, str)]
    rules = [each for each in said if isinstance(each, validate.Validator)]
    return {
        **({"metadata": {"description": words[0]}} if words else {}),
        **({"validate": rules} if rules else {}),
        **({"required": False} if _MAY_LACK in said else {}),
    }
