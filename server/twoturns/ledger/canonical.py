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
from functools import lru_cache
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


def dumps(value: object, depth: int = 0) -> bytes:
    """
    Return the canonical bytes of a value made of dict, list, tuple, str, int, bool and None.

    `depth`: in how many others it lies.

    Raises:
        NotCanonical: If the value has no canonical form; the text names the place.
    """
    fault = _fault(value, depth)
    if fault is not None:
        where, found = fault
        raise NotCanonical(f"{f'${where}'[:200]} is {found}", hint=_HINT)
    return orjson.dumps(value, option=orjson.OPT_SORT_KEYS)


def loads(data: bytes, depth: int = 0) -> Any:  # noqa: ANN401 - any JSON value
    """
    Return the value whose canonical bytes these are. `depth`: in how many others it lies.

    Raises:
        NotCanonical: If they are the canonical bytes of no value.
    """
    try:
        value = orjson.loads(data)
    except orjson.JSONDecodeError as error:
        raise NotCanonical(t(words.NOT_JSON, error=str(error)), hint=_HINT) from error
    written = dumps(value, depth)
    if written != data:
        raise NotCanonical(_difference(data, written), hint=_HINT)
    return value


def _fault(value: object, depth: int) -> tuple[str, str] | None:
    """
    Return where below a value something has no canonical form, and what it is; None if it has one.

    Exact types: a subclass (an enum, say) may be written as something else than it is.
    """
    if type(value) is str:
        return _fault_of_text(value)
    if type(value) is int:
        is_exact = -MAX_INTEGER <= value <= MAX_INTEGER
        return None if is_exact else ("", t(words.INTEGER_TOO_LARGE, value=value))
    if type(value) is dict:
        return _fault_of_members(value, depth)
    if type(value) is list or type(value) is tuple:
        return _fault_of_items(value, depth)
    if value is None or type(value) is bool:
        return None
    return "", t(words.BARE_DECIMAL, name=type(value).__name__)


def _fault_of_members(members: dict[Any, Any], depth: int) -> tuple[str, str] | None:
    if depth >= MAX_DEPTH:
        return "", t(words.TOO_DEEP, max_depth=MAX_DEPTH)
    for key, inner in members.items():
        if type(key) is not str or len(key) > MAX_TEXT or not _is_key(key):
            return "", t(words.BAD_KEY, key=f"{key!r:.80}")
        if type(inner) is str and len(inner) <= MAX_TEXT and inner.isascii():
            continue  # as nearly all are: the quick answer of `_fault_of_text`
        fault = _fault(inner, depth + 1)
        if fault is not None:
            return f".{key}{fault[0]}", fault[1]
    return None


def _fault_of_items(items: list[Any] | tuple[Any, ...], depth: int) -> tuple[str, str] | None:
    if depth >= MAX_DEPTH:
        return "", t(words.TOO_DEEP, max_depth=MAX_DEPTH)
    for position, inner in enumerate(items):
        fault = _fault(inner, depth + 1)
        if fault is not None:
            return f"[{position}]{fault[0]}", fault[1]
    return None


@lru_cache(1_024)  # the same few hundred names stand in all entries
def _is_key(key: str) -> bool:
    return _KEY.fullmatch(key) is not None


def _fault_of_text(text: str) -> tuple[str, str] | None:
    if len(text) > MAX_TEXT:
        return "", t(words.TEXT_TOO_LONG, text=len(text), max_text=MAX_TEXT)
    if text.isascii():
        return None
    try:
        text.encode()
    except UnicodeEncodeError:
        return "", t(words.HALF_SURROGATE_PAIR)
    return None if unicodedata.is_normalized("NFC", text) else ("", t(words.NOT_NFC))


def _difference(found: bytes, expected: bytes) -> str:
    pairs = enumerate(zip(found, expected, strict=False))
    shorter = min(len(found), len(expected))
    at = next((n for n, (one, other) in pairs if one != other), shorter)
    got, want = found[at : at + 20], expected[at : at + 20]
    return t(words.BYTE_NOT_CANONICAL, at=at, got=f"{got!r}", want=f"{want!r}")
