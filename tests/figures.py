"""
The named figures of a module, and what is written beside each: read from the text, nothing is run.

A figure is a constant of a module that holds a number of its own. No figure: 0, 1 and 2 (counting,
halves, signs), powers of ten (prefixes of units), and what is computed from such and other names.
What is written beside it: the comments on its lines, and the block of comments right above it. A
comment stands for one constant, not for those that follow.
"""

from __future__ import annotations

import ast
import io
import re
import tokenize
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

_NUMBER = re.compile(r"(?<![\w.$])(?:0x[\da-f]+|\d[\d_]*(?:\.[\d_]+)?(?:e-?\d+)?)", re.IGNORECASE)
_PLAIN = {0, 1, 2}
_POWER = re.compile(r"1\.0+e[+-]\d+")
# A constant of the phone, at the margin and in capitals, up to the next line that begins there.
_CONSTANT = re.compile(
    r"^(?:export )?const (?P<name>[A-Z][A-Z0-9_]*\b|\[[A-Z0-9_, ]+\])"
    r"(?P<text>.*(?:\n(?:[ \t].*|[\])}].*))*)",
    re.MULTILINE,
)
_ABOVE = re.compile(r"(?:/\*\*(?:[^*]|\*(?!/))*\*/\n|(?://.*\n)+)\Z")
_COMMENT = re.compile(r"/\*(?:[^*]|\*(?!/))*\*/|//.*")
_TEXT = re.compile(r"'(?:[^'\\\n]|\\.)*'|`(?:[^`\\]|\\.)*`|/(?![/*])(?:[^/\\\n]|\\.)+/[dgimsuvy]*")


@dataclass(frozen=True)
class Figure:
    """
    A constant with numbers: its name without a low line before it, and what is beside it.

    The numbers are in order of size and without signs, as both languages' text gives them.
    """

    name: str
    line: int
    numbers: tuple[float, ...]
    beside: str


def is_plain(number: float) -> bool:
    """Whether a number needs no source: 0, 1, 2, or a power of ten."""
    return abs(number) in _PLAIN or bool(_POWER.fullmatch(f"{abs(number):.15e}"))


def _sorted(numbers: Iterable[float]) -> tuple[float, ...]:
    return tuple(sorted(map(float, numbers)))


def of_python(path: Path) -> list[Figure]:
    """Return the figures of a module of the server."""
    source = path.read_text()
    comments = {
        token.start[0]: (token.string, token.line.lstrip().startswith("#"))
        for token in tokenize.generate_tokens(io.StringIO(source).readline)
        if token.type == tokenize.COMMENT
    }
    found = []
    for node in ast.parse(source).body:
        if not isinstance(node, ast.Assign | ast.AnnAssign) or node.value is None:
            continue
        numbers = _sorted(
            each.value
            for each in ast.walk(node.value)
            if isinstance(each, ast.Constant) and type(each.value) in (int, float)
        )
        first = node.lineno
        while comments.get(first - 1, ("", False))[1]:
            first -= 1
        last = node.end_lineno or node.lineno
        beside = " ".join(comments[at][0] for at in range(first, last + 1) if at in comments)
        target = node.target if isinstance(node, ast.AnnAssign) else node.targets[0]
        name = ast.unparse(target).lstrip("_")
        if not all(is_plain(number) for number in numbers):
            found.append(Figure(name, node.lineno, numbers, beside))
    return found


def of_typescript(path: Path) -> list[Figure]:
    """Return the figures of a module of the phone: constants in capitals, as all of them are."""
    source = path.read_text()
    found = []
    for match in _CONSTANT.finditer(source):
        above = _ABOVE.search(source[: match.start()])
        comments = _COMMENT.findall(match["text"])
        bare = _TEXT.sub("''", _COMMENT.sub("", match["text"]))
        numbers = _sorted(
            float(int(each, 16) if each[:2].lower() == "0x" else each.replace("_", ""))
            for each in _NUMBER.findall(bare)
        )
        if not all(is_plain(number) for number in numbers):
            beside = " ".join([above[0] if above else "", *comments])
            line = source.count("\n", 0, match.start()) + 1
            found.append(Figure(match["name"], line, numbers, beside))
    return found
