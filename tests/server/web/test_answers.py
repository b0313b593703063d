"""An answer's types make the schema that marshmallow's own fields would make."""

from typing import Annotated, Any, Literal, TypedDict

import pytest
from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from marshmallow import Schema, fields, validate

from twoturns.web.answers import Answer, MayLack, answer_of

SIZES = ("small", "large")


class Part(Answer):
    name: str


class Ours(Answer):
    """Told by its types."""

    text: str
    count: Annotated[int | None, "So many; null: nobody counted."]
    share: float
    is_so: bool
    state: Literal["open", "closed"]
    was: Literal["open", "closed"] | None
    size: Annotated[str, validate.OneOf(SIZES), "One of two."]
    parts: list[Part]
    first: Part | None
    by_name: dict[str, int]
    words: MayLack[Annotated[list[str], "An older one says nothing of it."]]


class MarshmallowsPart(Schema):
    name = fields.String(required=True)


class Marshmallows(Schema):
    """Told by its fields."""

    text = fields.String(required=True)
    count = fields.Integer(
        required=True,
        allow_none=True,
        metadata={"description": "So many; null: nobody counted."},
    )
    share = fields.Float(required=True)
    is_so = fields.Boolean(required=True)
    state = fields.String(required=True, validate=validate.OneOf(["open", "closed"]))
    was = fields.String(required=True, allow_none=True, validate=validate.OneOf(["open", "closed"]))
    size = fields.String(
        required=True, validate=validate.OneOf(SIZES), metadata={"description": "One of two."}
    )
    parts = fields.List(fields.Nested(MarshmallowsPart), required=True)
    first = fields.Nested(MarshmallowsPart, required=True, allow_none=True)
    by_name = fields.Dict(keys=fields.String(), values=fields.Integer(), required=True)
    words = fields.List(
        fields.String(), metadata={"description": "An older one says nothing of it."}
    )


def described(schema: type[Schema], part: type[Schema]) -> dict[str, Any]:
    spec = APISpec("", "", "3.1.0", plugins=[MarshmallowPlugin()])
    spec.components.schema("Part", schema=part)
    spec.components.schema("Whole", schema=schema)
    return spec.to_dict()["components"]["schemas"]


def test_it_is_described_as_by_fields():
    assert described(Ours, Part) == described(Marshmallows, MarshmallowsPart)


@pytest.mark.parametrize(
    "said",
    [
        {"text": "a", "count": 1, "share": 0.5, "is_so": True, "state": "open", "was": None},
        {"parts": [{"name": "a", "more": 1}], "first": None, "words": ["b"], "unknown": 1},
        *({"by_name": {"a": 1, "b": 2}}, {"by_name": {}}, {"by_name": None}, {}),
    ],
)
def test_it_is_written_as_by_fields(said: dict[str, Any]):
    assert Ours().dump(said) == Marshmallows().dump(said)


def test_an_answer_goes_on_from_another():
    class More(Part):
        more: int

    assert list(More().fields) == ["name", "more"]


def test_a_dictionary_that_the_store_makes_says_its_members_once():
    class Piece(TypedDict):
        name: str

    class Told(TypedDict):
        """Told by its types."""

        text: str
        count: Annotated[int | None, "So many; null: nobody counted."]
        parts: list[Piece]
        first: Piece | None

    class Written(Answer):
        """Told by its types."""

        text: str
        count: Annotated[int | None, "So many; null: nobody counted."]
        parts: list[Part]
        first: Part | None

    made = answer_of(Told)
    assert (made.__name__, made.__doc__) == ("ToldAnswer", Told.__doc__)
    assert described(made, answer_of(Piece)) == described(Written, Part)


def test_a_type_that_no_answer_had_is_refused():
    with pytest.raises(TypeError, match="no field is made of <class 'bytes'> yet"):
        type("Odd", (Answer,), {"__annotations__": {"data": bytes}})
