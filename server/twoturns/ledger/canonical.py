"""
Canonical JSON: RFC 8785, narrowed until every serialiser gives the same bytes.

JavaScript writes 1 where Python writes 1.0, and two of our own programs would break a signature
between them. So there are no fractions (a decimal travels as the string that was read), keys are
ASCII (their order is then the same in bytes, code points and UTF-16), and text is well-formed NFC.

Reading is parse, write again, compare: a duplicate key, a space, `5.0`, `1e3`, `-0` or `\\/` all
show as a difference of bytes. Nothing is repaired.

Known gap: NFC follows the Unicode version of the interpreter. Text with a combining character
newer than the server's Unicode could be refused; it then stays on the phone, with the reason.
"""

import re
import unicodedata
from typing import Any

import orjson

from twoturns.words import t
from twoturns.words.en.ledger import canonical as words

from .errors import NotCanonical

MAX_INTEGER = 2**53 - 1  # RFC 8785 section 3.2.2.3: beyond this a double is not exact
MAX_TEXT = 2_000  # code points; longer text is a blob
MAX_DEPTH = 16

_KEY = re.compile(r"[a-z][a-z0-9_]*")
_HINT = t(words.NOT_CANONICAL_HINT)


def dumps(value: object) -> bytes:
    """
    Return the canonical bytes of a value made of dict, list, tuple, str, int, bool and None.

    Raises:
        NotCanonical: If the value has no canonical form; the text names the place.
    """
    _check(value, "$", 0)
    return orjson.dumps(value, option=orjson.OPT_SORT_KEYS)


def loads(data: bytes) -> Any:  # noqa: ANN401 - any JSON value
    """
    Return the value whose canonical bytes these are.

    Raises:
        NotCanonical: If they are the canonical bytes of no value.
    """
    try:
        value = orjson.loads(data)
    except orjson.JSONDecodeError as error:
        raise NotCanonical(t(words.NOT_JSON, error=str(error)), hint=_HINT) from error
    written = dumps(value)
    if written != data:
        raise NotCanonical(_difference(data, written), hint=_HINT)
    return value


def _check(value: object, where: str, depth: int) -> None:
    # Exact types: a subclass (an enum, say) may be written as something else than it is.
    if type(value) is str:
        _check_text(value, where)
    elif type(value) is int:
        if not -MAX_INTEGER <= value <= MAX_INTEGER:
            raise _refused(where, t(words.INTEGER_TOO_LARGE, value=value))
    elif type(value) is dict:
        _check_depth(where, depth)
        for key, inner in value.items():
            if type(key) is not str or not _KEY.fullmatch(key) or len(key) > MAX_TEXT:
                raise _refused(where, t(words.BAD_KEY, key=f"{key!r:.80}"))
            _check(inner, f"{where}.{key}", depth + 1)
    elif type(value) is list or type(value) is tuple:
        _check_depth(where, depth)
        for position, inner in enumerate(value):
            _check(inner, f"{where}[{position}]", depth + 1)
    elif value is not None and type(value) is not bool:
        raise _refused(where, t(words.BARE_DECIMAL, name=type(value).__name__))


def _check_depth(where: str, depth: int) -> None:
    if depth >= MAX_DEPTH:
        raise _refused(where, t(words.TOO_DEEP, max_depth=MAX_DEPTH))


def _check_text(text: str, where: str) -> None:
    if len(text) > MAX_TEXT:
        raise _refused(where, t(words.TEXT_TOO_LONG, text=len(text), max_text=MAX_TEXT))
    if text.isascii():
        return
    try:
        text.encode()
    except UnicodeEncodeError:
        raise _refused(where, t(words.HALF_SURROGATE_PAIR)) from None
    if not unicodedata.is_normalized("NFC", text):
        raise _refused(where, t(words.NOT_NFC))


def _refused(where: str, found: str) -> NotCanonical:
    return NotCanonical(f"{where[:200]} is {found}", hint=_HINT)


def _difference(found: bytes, expected: bytes) -> str:
    pairs = enumerate(zip(found, expected, strict=False))
    shorter = min(len(found), len(expected))
    at = next((n for n, (one, other) in pairs if one != other), shorter)
    got, want = found[at : at + 20], expected[at : at + 20]
    return t(words.BYTE_NOT_CANONICAL, at=at, got=f"{got!r}", want=f"{want!r}")
