"""The forms that bodies are made of (formats.md, section 2), as marshmallow fields."""

from collections.abc import Callable, Mapping
from typing import Any, ClassVar

from marshmallow import INCLUDE, Schema, ValidationError, fields, validate, validates_schema

from twoturns.words import t
from twoturns.words.en.ledger import fields as words

from .forms import AT, DATE, DECIMAL, KEY, NAME, SHA256, SIGNATURE, UUID7, is_formed

LONG = 500  # text in clear that says why
IDS = 900  # as many ids as an entry of 64 KiB holds


class BodySchema(Schema):
    """
    A field we do not know was written by a newer program: what it stands in is kept and passed on,
    and not judged (`bodies.check_body` tells). What we do know must be as it must.
    """

    class Meta:
        unknown = INCLUDE

    error_messages = {"type": t(words.NOT_AN_OBJECT)}  # noqa: RUF012 - declared for instances
    any_of: ClassVar[tuple[str, ...]] = ()  # at least one of these must be there
    # The edition from which a field stands here, where that is later than the kind's own. Such a
    # field is optional: entries without it are for ever.
    since: ClassVar[Mapping[str, int]] = {}

    @validates_schema
    def _says_something(self, data: Mapping[str, Any], **_: object) -> None:
        if self.any_of and not data.keys() & set(self.any_of):
            expected = " or ".join(self.any_of)
            raise ValidationError(t(words.MISSING, expected=expected), self.any_of[0])


def _says(expected: str) -> dict[str, Any]:
    """One text for every way to be wrong: what was expected. No braces: marshmallow fills them."""
    text = t(words.EXPECTED, expected=expected)
    missing = t(words.MISSING, expected=expected)
    return {"invalid": text, "null": text, "required": missing, "type": text}


def _options(
    expected: str, optional: bool, form: dict[str, Any], check: Callable[[Any], None]
) -> dict[str, Any]:
    """What every field is made with. `form` says the check as data: the phone runs that."""
    return {
        "required": not optional,
        "validate": check,
        "error_messages": _says(expected),
        "metadata": form | {"expected": expected},
    }


def _formed(pattern: str, expected: str, optional: bool) -> fields.String:
    # Not marshmallow's own Regexp: it lets a newline stand behind the last character.
    def check(value: str) -> None:
        if not is_formed(value, pattern):
            raise ValidationError(t(words.EXPECTED, expected=expected))

    return fields.String(**_options(expected, optional, {"pattern": pattern}, check))


def sha256(*, optional: bool = False) -> fields.String:
    """The SHA-256 of something: of a bundle, of a blob."""
    return _formed(SHA256, t(words.A_SHA256), optional)


def entry_id(*, optional: bool = False) -> fields.String:
    """The id of an entry."""
    return _formed(SHA256, t(words.AN_ENTRY_ID), optional)


def key() -> fields.String:
    """An Ed25519 public key."""
    return _formed(KEY, t(words.A_KEY), optional=False)


def thumbprint(*, optional: bool = False) -> fields.String:
    """The name of a device, or of another key."""
    return _formed(KEY, t(words.A_THUMBPRINT), optional)


def signature() -> fields.String:
    """An Ed25519 signature."""
    return _formed(SIGNATURE, t(words.A_SIGNATURE), optional=False)


def uuid7(*, optional: bool = False) -> fields.String:
    """The id of a person or a job."""
    return _formed(UUID7, t(words.A_UUID), optional)


def name(*, optional: bool = False) -> fields.String:
    """The name of something in a bundle."""
    return _formed(NAME, t(words.A_NAME), optional)


def decimal(*, optional: bool = False) -> fields.String:
    """A decimal, as it was read."""
    return _formed(DECIMAL, t(words.A_DECIMAL), optional)


def at(*, optional: bool = False) -> fields.String:
    """A time. Only its shape is checked: a nonsense clock is kept, and flagged."""
    return _formed(AT, t(words.A_TIME), optional)


def date(*, optional: bool = False) -> fields.String:
    """A day."""
    return _formed(DATE, t(words.A_DAY), optional)


def text(longest: int = 64, *, shortest: int = 1, optional: bool = False) -> fields.String:
    """Text in clear: nothing about a person belongs here."""
    expected = t(words.A_TEXT, shortest=shortest, longest=longest)
    check = validate.Length(shortest, longest, error=t(words.EXPECTED, expected=expected))
    return fields.String(**_options(expected, optional, {"text": [shortest, longest]}, check))


def integer(smallest: int, *, optional: bool = False) -> fields.Integer:
    """A whole number."""
    expected = t(words.A_WHOLE_NUMBER, smallest=smallest)
    check = validate.Range(min=smallest, error=t(words.EXPECTED, expected=expected))
    return fields.Integer(strict=True, **_options(expected, optional, {"from": smallest}, check))


def one_of(*choices: str, optional: bool = False) -> fields.String:
    """One of a few words."""
    expected = t(words.ONE_OF) + ", ".join(choices)
    check = validate.OneOf(choices, error=t(words.EXPECTED, expected=expected))
    return fields.String(**_options(expected, optional, {"choices": choices}, check))


class RefSchema(BodySchema):
    """A private value: the SHA-256 of its blob."""

    blob = sha256()


def nested(schema: type[BodySchema], expected: str, *, optional: bool = False) -> fields.Nested:
    """An object of its own."""
    return fields.Nested(schema, required=not optional, error_messages=_says(expected))


def ref(*, optional: bool = False) -> fields.Nested:
    """A private value."""
    return nested(RefSchema, t(words.A_PRIVATE_VALUE), optional=optional)


def many(
    inner: fields.Field[Any], longest: int, *, shortest: int = 0, optional: bool = False
) -> fields.List[Any]:
    """A list."""
    expected = t(words.A_LIST, shortest=shortest, longest=longest)
    check = validate.Length(shortest, longest, error=t(words.EXPECTED, expected=expected))
    form = {"length": [shortest, longest]}
    return fields.List(inner, **_options(expected, optional, form, check))
