"""
A source written out again: as it stands once its blocks have brought what they bring.

Lists and mappings stay in brackets or on lines as they were written, and texts keep their quotes.
Comments and empty lines are not kept. Read again it has the same data.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from twoturns.procedure.language.source import Document, Items, Mapping, Node, Text

# What needs no quotes whatever stands round it (YAML 1.2.2, section 7.3.3, and less than that).
_PLAIN: Final = re.compile(r"[^\s\-?:,\[\]{}#&*!|>'\"%@`][^\n:#,\[\]{}]*(?<!\s)|-?[0-9][0-9.]*")
_PLAIN_ON_A_LINE: Final = re.compile(
    r"(?!.*(?:: |:$| #|\n))[^\s\-?:,\[\]{}#&*!|>'\"%@`].*(?<!\s)|-?[0-9][0-9.]*"
)


def written_out(document: Document) -> str:
    """Return a source as YAML."""
    return "".join(f"{line}\n" for line in _lines(document.root))


def _lines(node: Mapping | Items) -> Iterator[str]:
    if isinstance(node, Mapping):
        for key, value in node.values.items():
            yield from _entry(f"{_text(Text(0, 0, key), is_flow=True)}:", value)
    else:
        for member in node.values:
            yield from _member(member)


def _entry(key: str, value: Node) -> Iterator[str]:
    if isinstance(value, Text) or value.is_flow or not value.values:
        yield f"{key} {_flow(value, is_flow=False)}"
        return
    yield key
    yield from (f"  {line}" for line in _lines(value))


def _member(node: Node) -> Iterator[str]:
    if isinstance(node, Text) or node.is_flow or not node.values:
        yield f"- {_flow(node, is_flow=False)}"
        return
    first, *more = _lines(node)
    yield f"- {first}"
    yield from (f"  {line}" for line in more)


def _flow(node: Node, *, is_flow: bool) -> str:
    if isinstance(node, Text):
        return _text(node, is_flow=is_flow)
    if isinstance(node, Items):
        return f"[{', '.join(_flow(each, is_flow=True) for each in node.values)}]"
    pairs = (
        f"{_text(Text(0, 0, key), is_flow=True)}: {_flow(value, is_flow=True)}"
        for key, value in node.values.items()
    )
    return "{" + ", ".join(pairs) + "}"


def _text(node: Text, *, is_flow: bool) -> str:
    said = node.value
    needs_none = (_PLAIN if is_flow else _PLAIN_ON_A_LINE).fullmatch(said)
    if needs_none and (node.quote not in ("'", '"') or "{" in said):
        return said
    if "\n" not in said and (node.quote != '"' or '"' in said or "\\" in said):
        return "'" + said.replace("'", "''") + "'"
    escaped = said.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'
