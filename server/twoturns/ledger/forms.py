"""The forms of text that formats know (formats.md, section 2), each stated here once."""

import re
from collections.abc import Callable
from functools import cache
from typing import TypeGuard

SHA256 = r"[0-9a-f]{64}"
KEY = r"[A-Za-z0-9_-]{43}"  # also a thumbprint: 32 bytes either way
SIGNATURE = r"[A-Za-z0-9_-]{86}"
UUID7 = r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}"
NAME = r"[a-z][a-z0-9_]{0,63}"
KIND = r"[a-z][a-z0-9_]{0,31}\.[a-z][a-z0-9_]{0,31}"
DECIMAL = r"-?(0|[1-9][0-9]*)(\.[0-9]+)?"
AT = r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\.[0-9]{3}Z"
DATE = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"


def is_formed(value: object, pattern: str) -> TypeGuard[str]:
    """Say whether a value is text of a form, from its first character to its last."""
    return type(value) is str and _matcher(pattern)(value) is not None


def formed(pattern: str) -> Callable[[object], bool]:
    """Return the check of values by a form, for who asks it of many."""
    is_match = _matcher(pattern)
    return lambda value: type(value) is str and is_match(value) is not None


@cache  # of the few patterns that the program's own text has
def _matcher(pattern: str) -> Callable[[str], re.Match[str] | None]:
    return re.compile(pattern).fullmatch
