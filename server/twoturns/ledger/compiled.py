"""
The check of a body, compiled from its marshmallow schema: for the many that say what they must.

The schemas stay the one place that says what a body is, and marshmallow the one that says what is
wrong with it. Asked of each body it was the dearest part of taking an entry in. So what it was told
(`fields.py` keeps each check as data, which the phone runs too) is made into plain functions once.
They never take what marshmallow refuses; what they do not take, it is asked about. A test holds
both to the same answer.
"""

import re
from collections.abc import Callable, Mapping
from typing import Any

from marshmallow import fields

from .fields import BodySchema

# The edition of which a program must be to read a value; 0: only marshmallow can say.
Check = Callable[[Any], int]


def compiled(schema: BodySchema, unknown: int) -> Check:
    """
    Return the check of a body by a schema. `unknown` is the edition of a field that it has not.

    Raises:
        TypeError: If the schema has a sort of field that this module does not know.
    """
    checks = {
        name: (_of_field(field, unknown), schema.since.get(name, 1))
        for name, field in schema.fields.items()
    }
    required = frozenset(name for name, field in schema.fields.items() if field.required)
    any_of = frozenset(schema.any_of)

    def check(body: Any) -> int:  # noqa: ANN401 - whatever it is
        if type(body) is not dict or not required <= body.keys():
            return 0
        if any_of and any_of.isdisjoint(body):
            return 0
        edition = 1
        for name, value in body.items():
            if name in checks:
                of_value, since = checks[name]
                own = of_value(value)
                if not own:
                    return 0
                if own > edition or since > edition:
                    edition = max(own, since)
            else:
                edition = unknown
        return edition

    return check


def _of_field(field: fields.Field[Any], unknown: int) -> Check:
    if isinstance(field, fields.Nested) and isinstance(field.schema, BodySchema):
        return compiled(field.schema, unknown)
    if isinstance(field, fields.List):
        return _of_list(_of_field(field.inner, unknown), *field.metadata["length"])
    return _of_value(field.metadata)


def _of_list(inner: Check, shortest: int, longest: int) -> Check:
    def check(value: Any) -> int:  # noqa: ANN401 - whatever it is
        if type(value) is not list or not shortest <= len(value) <= longest:
            return 0
        return min(found := [1, *map(inner, value)]) and max(found)

    return check


def _of_value(form: Mapping[str, Any]) -> Check:
    match form:
        case {"pattern": pattern}:
            is_formed = re.compile(pattern).fullmatch
            return lambda value: type(value) is str and is_formed(value) is not None
        case {"text": [shortest, longest]}:
            return lambda value: type(value) is str and shortest <= len(value) <= longest
        case {"from": smallest}:
            return lambda value: type(value) is int and value >= smallest
        case {"choices": choices}:
            words = frozenset(choices)
            return lambda value: type(value) is str and value in words
    raise TypeError(f"no check of a field is compiled from {dict(form)}")
