"""
Former words of the language: still read, and a note says the present one.

`needs`, `uses` and `on` became `asks`, `takes` and `doing` in November 2026: beside `steps` they
were the words of another trade's files. A source that has both words for one thing is refused.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, TypeVar

from twoturns.procedure.errors import SourceError, SourceErrors
from twoturns.procedure.language.source import Document, Items, Mapping, Node, plain
from twoturns.words import t
from twoturns.words.en.procedure.language import former_words as texts

Part = TypeVar("Part")
OF_STEPS: Final = {"needs": "asks", "uses": "takes"}
OF_RULES: Final = {"on": "doing"}


@dataclass(frozen=True)
class FormerWord:
    """A former word that a source has: what it is now, its first line, and how often it stands."""

    former: str
    present: str
    line: int
    times: int


def in_present_words(document: Document) -> tuple[Document, tuple[FormerWord, ...]]:
    """
    Return a source in the present words, and which former ones it had.

    Raises:
        SourceErrors: Where a former word stands beside its present one.
    """
    found: dict[tuple[str, str], list[int]] = {}
    problems: list[SourceError] = []
    for parts, words in _places(document.root):
        for former, present in words.items():
            if former not in parts.keys:
                continue
            written = parts.keys[former]
            if present in parts.keys:
                problems.append(_both(written.line, written.column, former, present))
                continue
            found.setdefault((former, present), []).append(written.line)
            parts.keys = _renamed(parts.keys, former, present)
            parts.values = _renamed(parts.values, former, present)
    if problems:
        raise SourceErrors(problems)
    if not found:
        return document, ()
    told = (FormerWord(*pair, min(lines), len(lines)) for pair, lines in found.items())
    return Document(document.root, plain(document.root)), tuple(told)


def _places(root: Mapping) -> Iterator[tuple[Mapping, dict[str, str]]]:
    """Each mapping that may hold a former word, and its words."""
    for step in _inside(root.values.get("steps")):
        yield step, OF_STEPS
    for rule in _inside(root.values.get("rules")):
        yield rule, OF_RULES


def _inside(node: Node | None) -> list[Mapping]:
    if isinstance(node, Items):
        inner = node.values
    elif isinstance(node, Mapping):
        inner = list(node.values.values())
    else:
        inner = []
    return [each for each in inner if isinstance(each, Mapping)]


def _renamed(parts: dict[str, Part], former: str, present: str) -> dict[str, Part]:
    return {present if key == former else key: value for key, value in parts.items()}


def _both(line: int, column: int, former: str, present: str) -> SourceError:
    return SourceError(
        line,
        column,
        t(texts.BOTH_WORDS, former=former, present=present),
        t(texts.BOTH_WORDS_HINT, present=present),
        "twice",
    )
