"""The forms that a procedure's source is made of, as marshmallow fields: names, numbers, lists."""

from __future__ import annotations

import re
from typing import Any

from marshmallow import ValidationError, fields

from twoturns.ledger.forms import DECIMAL, NAME, is_formed
from twoturns.procedure.language.source import Source
from twoturns.words import t
from twoturns.words.en.procedure.language import fields as texts

WHOLE = re.compile(r"0|[1-9][0-9]{0,14}")
# What a message means (its stable code) and what to do about it.
HINTS = {
    t(texts.NOT_NAME): ("name", t(texts.NAME_FORM)),
    t(texts.NOT_DECIMAL): ("decimal", t(texts.DECIMAL_FORM)),
    t(texts.NOT_WHOLE_NUMBER): ("whole", t(texts.DIGITS_FORM)),
    t(texts.NOT_YES_NO): ("yes-no", t(texts.YES_NO_FORM)),
    t(texts.IS_EMPTY): ("empty", t(texts.TEXT_FORM)),
    t(texts.NOT_TEXT): ("text", t(texts.SINGLE_VALUE_FORM)),
    t(texts.NOT_LIST): ("list", t(texts.LIST_FORM)),
    t(texts.NOT_MAPPING): ("mapping", t(texts.MAPPING_FORM)),
}


class Words(fields.Field[str]):
    """Text for people."""

    def __init__(self, most: int = 2000, **more: Any) -> None:
        super().__init__(**more)
        self.most = most

    def _deserialize(self, value: object, attr: str | None, data: object, **more: object) -> str:
        if not isinstance(value, str):
            raise ValidationError(t(texts.NOT_TEXT))
        words = value.strip()
        if not words:
            raise ValidationError(t(texts.IS_EMPTY))
        if len(words) > self.most:
            raise ValidationError(t(texts.TOO_LONG, words=len(words), most=self.most))
        return words


class Shaped(fields.Field[str]):
    """Text of one shape, such as a name."""

    def __init__(self, shape: str, otherwise: str, **more: Any) -> None:
        super().__init__(**more)
        self.shape, self.otherwise = shape, otherwise

    def _deserialize(self, value: object, attr: str | None, data: object, **more: object) -> str:
        if not is_formed(value, self.shape):
            raise ValidationError(self.otherwise)
        return value


class Whole(fields.Field[int]):
    """A whole number, zero or more."""

    def _deserialize(self, value: object, attr: str | None, data: object, **more: object) -> int:
        if not (isinstance(value, str) and WHOLE.fullmatch(value)):
            raise ValidationError(t(texts.NOT_WHOLE_NUMBER))
        return int(value)


class YesNo(fields.Field[bool]):
    """`yes` or `no`, and no other spelling."""

    def _deserialize(self, value: object, attr: str | None, data: object, **more: object) -> bool:
        if value not in ("yes", "no"):
            raise ValidationError(t(texts.NOT_YES_NO))
        return bool(value == "yes")


class OneOrMore(fields.Field[list[str]]):
    """One name, or a list of names."""

    def _deserialize(
        self, value: object, attr: str | None, data: object, **more: object
    ) -> list[str]:
        names = value if isinstance(value, list) else [value]
        if not names:
            raise ValidationError(t(texts.IS_EMPTY))
        return [str(a_name().deserialize(each)) for each in names]


class Verbatim(fields.Field[Source]):
    """A mapping that another room reads."""

    def _deserialize(self, value: object, attr: str | None, data: object, **more: object) -> Source:
        if not isinstance(value, dict):
            raise ValidationError(t(texts.NOT_MAPPING))
        return value


def a_name(**more: Any) -> Shaped:
    """Return the field of a name: small letters, digits and low lines."""
    return Shaped(NAME, t(texts.NOT_NAME), **more)


def a_decimal(**more: Any) -> Shaped:
    """Return the field of a decimal number, which stays text."""
    return Shaped(DECIMAL, t(texts.NOT_DECIMAL), **more)


def several(inner: fields.Field[Any], **more: Any) -> fields.List[Any]:
    """Return the field of a list."""
    return fields.List(inner, error_messages={"invalid": t(texts.NOT_LIST)}, **more)


def named(inner: fields.Field[Any], keys: Shaped | None = None, **more: Any) -> fields.Dict:
    """Return the field of a mapping whose keys are names, unless it is told otherwise."""
    return fields.Dict(
        keys=keys or a_name(),
        values=inner,
        error_messages={"invalid": t(texts.NOT_MAPPING)},
        **more,
    )
