"""
Sentences with arguments: the part of ICU MessageFormat that our sentences use.

    t("{n, plural, one {# step left} other {# steps left}}", n=3)      # '3 steps left'

Of ICU it has `{name}`; `plural` with `=N` and `#`; `select`; `number`, also with a fixed fraction
(`::.00`); `''` and quoted braces. `client/src/words/message.ts` is its twin, which shows days and
times as well; `tests/vectors/messages.json` holds both to one another and to `intl-messageformat`.
One thing is ours: digits are grouped by a narrow space (SI Brochure, 9th edition, 5.4.4), never by
a comma.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from typing import Final

GROUP: Final = "\u202f"
_DIGITS: Final = 3  # a number without a fixed fraction has at most so many digits of it (CLDR)

#: What an argument may be. Of a plural it is an `int`: `1.0` would be of another form than `1`.
Value = str | int | float | Decimal

_TEXT: Final = re.compile(r"(?P<two>'')|'(?P<quoted>[{}](?:[^']|'')*)(?:'(?!')|$)|[^'{}]+|'")
_TEXT_OF_PLURAL: Final = re.compile(
    r"(?P<two>'')|'(?P<quoted>[{}#](?:[^']|'')*)(?:'(?!')|$)|[^'{}#]+|'|(?P<count>#)"
)
_ARGUMENT: Final = re.compile(r"\{(\w+)(?:, (?:(plural|select),|(number)(?:, ::\.(0+))?))?")
_BRANCH: Final = re.compile(r"\s*(=\d+|\w+)\s*\{")
_CLOSE: Final = re.compile(r"\s*\}")


class MessageError(ValueError):
    """A sentence is none of our part of ICU's, or an argument of it is missing or of no use."""


@dataclass(frozen=True)
class Argument:
    """A place in a sentence. `digits`: of a number's fraction; None leaves it as it is."""

    name: str
    kind: str
    digits: int | None = None
    branches: Mapping[str, tuple[Piece, ...]] = field(default_factory=dict)


#: None is the `#` of a plural.
Piece = str | Argument | None


class _Reader:
    def __init__(self, message: str) -> None:
        self._message, self._at = message, 0

    def message(self) -> tuple[Piece, ...]:
        pieces = tuple(self._pieces(_TEXT))
        self._need(self._at == len(self._message), "the end")
        return pieces

    def _take(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        found = pattern.match(self._message, self._at)
        if found:
            self._at = found.end()
        return found

    def _need(self, found: object, what: str) -> None:
        if not found:
            raise MessageError(f"{what} expected at character {self._at} of: {self._message}")

    def _pieces(self, text: re.Pattern[str]) -> Iterator[Piece]:
        while True:
            if found := self._take(text):
                yield _text_of(found)
            elif self._message.startswith("{", self._at):
                yield self._argument()
            else:
                return

    def _argument(self) -> Argument:
        found = self._take(_ARGUMENT)
        if not found:
            raise MessageError(f"an argument expected at character {self._at} of: {self._message}")
        name, choice, number, zeros = found.groups()
        branches = self._branches(choice) if choice else {}
        self._need(self._take(_CLOSE), "a closing brace")
        return Argument(name, choice or number or "plain", len(zeros) if zeros else None, branches)

    def _branches(self, kind: str) -> dict[str, tuple[Piece, ...]]:
        found: dict[str, tuple[Piece, ...]] = {}
        while key := self._take(_BRANCH):
            text = _TEXT_OF_PLURAL if kind == "plural" else _TEXT
            found[key[1]] = tuple(self._pieces(text))
            self._need(self._take(_CLOSE), "a closing brace")
        self._need("other" in found, 'a branch "other"')
        return found


def _text_of(found: re.Match[str]) -> str | None:
    groups = found.groupdict()
    if groups.get("count"):
        return None
    if found["quoted"]:
        return found["quoted"].replace("''", "'")
    return "'" if found["two"] else found[0]


@cache
def parse(message: str) -> tuple[Piece, ...]:
    """
    Return the text and the arguments of a sentence, in order.

    Raises:
        MessageError: If it is none of our part of ICU's.
    """
    return _Reader(message).message()


def english(count: int) -> str:
    """Return the plural form of a whole number: CLDR, plurals.xml, `en`: one: i = 1 and v = 0."""
    return "one" if abs(count) == 1 else "other"


def number_words(value: float | Decimal, digits: int | None = None) -> str:
    """
    Write a number in groups of three digits, halves rounded away from zero.

    >>> number_words(1234567.05, 1)
    '1\u202f234\u202f567.1'
    """
    exact = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
    places = Decimal(1).scaleb(-(_DIGITS if digits is None else digits))
    said = f"{exact.quantize(places, ROUND_HALF_UP):,f}".replace(",", GROUP)
    return said.rstrip("0").rstrip(".") if digits is None else said


def format_message(
    message: str, args: Mapping[str, Value], plural: Callable[[int], str] = english
) -> str:
    """
    Put arguments into a sentence.

    Args:
        message: A sentence of the catalogue.
        args: Its arguments by name.
        plural: The plural form of a whole number in the sentence's language.

    Raises:
        MessageError: If the sentence cannot be read, or an argument is missing or of no use.
    """
    return "".join(_filled(parse(message), args, plural))


def t(message: str, /, **args: Value) -> str:
    """Say a sentence of the catalogue: `t(words.STEPS_LEFT, n=3)`."""
    return format_message(message, args)


def _filled(
    pieces: tuple[Piece, ...],
    args: Mapping[str, Value],
    plural: Callable[[int], str],
    count: int = 0,
) -> Iterator[str]:
    for piece in pieces:
        if piece is None:
            yield number_words(count)
        elif isinstance(piece, str):
            yield piece
        else:
            yield from _said(piece, args, plural)


def _said(
    piece: Argument, args: Mapping[str, Value], plural: Callable[[int], str]
) -> Iterator[str]:
    if piece.name not in args:
        raise MessageError(f"argument {piece.name} is missing")
    value, branches = args[piece.name], piece.branches
    if piece.kind == "plain":
        yield str(value)
    elif piece.kind == "select":
        chosen = str(value).lower() if isinstance(value, bool) else str(value)
        yield from _filled(branches.get(chosen, branches["other"]), args, plural)
    elif isinstance(value, str) or (piece.kind == "plural" and not isinstance(value, int)):
        raise MessageError(f"argument {piece.name} cannot be {value!r}")
    elif piece.kind == "number":
        yield number_words(value, piece.digits)
    else:
        n = int(value)
        form = f"={n}" if f"={n}" in branches else plural(n)
        yield from _filled(branches.get(form, branches["other"]), args, plural, n)
