"""A field of many values says what marshmallow's own says of each value."""

import pytest
from marshmallow import Schema, ValidationError, fields, validate

from twoturns.web.many import Texts

MOST = validate.Length(max=2)


class Ours(Schema):
    lines = Texts(required=True, validate=MOST)


class Marshmallows(Schema):
    lines = fields.List(fields.String(), required=True, validate=MOST)


def answer(schema: Schema, said: object) -> object:
    try:
        return schema.load({"lines": said})
    except ValidationError as error:
        return error.messages


@pytest.mark.parametrize(
    "said",
    [
        *([], ["one", "two"], ["one", "two", "three"], ["one", None], [1], [["one"]], [{}], [True]),
        *(None, "one", {}, 1, {"0": "one"}, ("one", "two"), ["\ud800"], [b"\xff"], [b"one"]),
    ],
)
def test_a_list_of_texts_is_read_as_marshmallow_reads_it(said):
    assert answer(Ours(), said) == answer(Marshmallows(), said)
