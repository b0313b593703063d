"""
YAML as people write it, read strictly, with the line and column of everything.

Every scalar is text: `26.50` stays "26.50" and `no` stays "no". What should be a number or a
yes/no is made so by the schema, where the name of the field says what was meant. Refused: anchors
and aliases (350 bytes of them can unfold to hundreds of megabytes), tags, keys that stand twice,
a second document, more than MOST_BYTES, deeper than DEEPEST. Text is brought to Unicode NFC,
because a bundle's bytes allow nothing else.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

import yaml

from twoturns.procedure.errors import BlockLine, Place, SourceError, SourceErrors
from twoturns.words import t
from twoturns.words.en.procedure.language import source as words

MOST_BYTES = 1024 * 1024
DEEPEST = 12

Path = tuple[str | int, ...]


Source = dict[str, Any]  # plain data: text, lists and mappings, as deep as they go


@dataclass
class Text:
    """A scalar, as it was written. `block`: the line of the block that it came with."""

    line: int
    column: int
    value: str
    block: BlockLine | None = None
    quote: str = ""


@dataclass
class Items:
    """A list. `is_flow`: written in brackets."""

    line: int
    column: int
    values: list[Node] = field(default_factory=list)
    block: BlockLine | None = None
    is_flow: bool = False


@dataclass
class Mapping:
    """A mapping; the keys keep their own places. `is_flow`: written in braces."""

    line: int
    column: int
    values: dict[str, Node] = field(default_factory=dict)
    keys: dict[str, Text] = field(default_factory=dict)
    block: BlockLine | None = None
    is_flow: bool = False


Node = Text | Items | Mapping


@dataclass(frozen=True)
class Document:
    """A source read: plain data for the schema, and where each part of it stands."""

    root: Mapping
    data: Source

    def place(self, path: Path, *, key: bool = False) -> Place:
        """Return the line of a path, and that of the block which brought it (see `node`)."""
        found = self.node(path, key=key)
        return Place(found.line, found.block)

    def node(self, path: Path, *, key: bool = False) -> Node:
        """
        Return what stands at a path; its nearest ancestor if it does not exist.

        Args:
            path: Keys and indices from the root.
            key: The last key instead of its value.
        """
        node: Node = self.root
        at: Node = node
        for part in path:
            if isinstance(node, Mapping) and part in node.values:
                at = node.keys[str(part)]
                node = node.values[str(part)]
            elif isinstance(node, Items) and isinstance(part, int) and part < len(node.values):
                node = at = node.values[part]
        return at if key else node

    def error(
        self, path: Path, message: str, *, hint: str, code: str, key: bool = False
    ) -> SourceError:
        """Return a fault at the place of a path."""
        return fault_at(self.node(path, key=key), message, hint=hint, code=code)


def fault_at(node: Node, message: str, *, hint: str, code: str) -> SourceError:
    """Return a fault at the place of a part of a source."""
    return SourceError(node.line, node.column, message, hint, code, node.block)


def read(text: bytes) -> Document:
    """
    Read a source.

    Raises:
        SourceErrors: With everything found, each at its line and column.
    """
    if len(text) > MOST_BYTES:
        raise SourceErrors(
            [
                SourceError(
                    1,
                    1,
                    t(words.SOURCE_TOO_LARGE, text=len(text), most_bytes=MOST_BYTES),
                    t(words.SOURCE_TOO_LARGE_HINT),
                    "too-large",
                )
            ]
        )
    reader, root = _built(_decoded(text))
    if not reader.problems and not isinstance(root, Mapping):
        reader.refuse(1, 1, t(words.SOURCE_NOT_MAPPING), "Begin with 'id: ...'.", "not-a-mapping")
    if reader.problems or not isinstance(root, Mapping):
        raise SourceErrors(reader.problems)
    return Document(root, plain(root))


def _decoded(text: bytes) -> str:
    try:
        return text.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = text.count(b"\n", 0, error.start) + 1
        raise SourceErrors(
            [
                SourceError(
                    line,
                    error.start - text.rfind(b"\n", 0, error.start),
                    t(words.NOT_UTF8, text=f"{text[error.start]:02x}"),
                    t(words.NOT_UTF8_HINT),
                    "not-utf-8",
                )
            ]
        ) from error


def plain(node: Node) -> Any:  # noqa: ANN401 - the schema gives it its types
    """Return the plain data of a node."""
    if isinstance(node, Text):
        return node.value
    if isinstance(node, Items):
        return [plain(value) for value in node.values]
    return {key: plain(value) for key, value in node.values.items()}


def _place(event: yaml.Event) -> tuple[int, int]:
    mark = event.start_mark
    assert mark is not None  # noqa: S101 - a parser that reads text marks every event
    return mark.line + 1, mark.column + 1


# What libyaml takes in places where the pure Python parser does not.
_TAKEN_OTHERWISE = re.compile("[\t?!\ufeff]|[|>][-+0-9]*#")


class _Unsure(Exception):
    """The two parsers may differ here."""


def _built(text: str) -> tuple[_Reader, Node | None]:
    """
    Return the tree that the pure Python parser's events make.

    By libyaml, fifteen times as fast, where both say the same and it is there. What it refuses is
    said in the words and at the place of the other.
    """
    fast = getattr(yaml, "CSafeLoader", None)
    if fast is not None and not _TAKEN_OTHERWISE.search(text):
        with suppress(_Unsure):
            reader = _Reader(_sure(yaml.parse(text, Loader=fast)))
            return reader, reader.document()
    reader = _Reader(yaml.parse(text, Loader=yaml.SafeLoader))
    return reader, reader.document()


def _sure(events: Iterator[yaml.Event]) -> Iterator[yaml.Event]:
    """Yield libyaml's events as long as they are surely the other's."""
    try:
        for event in events:
            if isinstance(event, yaml.ScalarEvent) and not event.value and not event.style:
                raise _Unsure  # the place of a value that is not there
            yield event
    except yaml.YAMLError as error:
        raise _Unsure from error


class _Reader:
    """Builds the tree from a parser's events: nothing is resolved, nothing is constructed."""

    def __init__(self, events: Iterator[yaml.Event]) -> None:
        self.problems: list[SourceError] = []
        self._events = events

    def refuse(self, line: int, column: int, message: str, hint: str, code: str) -> None:
        self.problems.append(SourceError(line, column, message, hint, code))

    def document(self) -> Node | None:
        root: Node | None = None
        try:
            for event in self._events:
                if isinstance(event, yaml.DocumentStartEvent):
                    if root is not None:
                        self._refuse_at(
                            event,
                            t(words.SECOND_DOCUMENT),
                            t(words.SECOND_DOCUMENT_HINT),
                            "documents",
                        )
                        break
                    root = self._node(next(self._events), 1)
        except yaml.MarkedYAMLError as error:
            mark = error.problem_mark or error.context_mark
            line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
            what = " ".join(part for part in (error.context, error.problem) if part)
            self.refuse(line, column, t(words.NOT_YAML, what=what), _YAML_HINT, "not-yaml")
        except yaml.reader.ReaderError as error:
            self.refuse(1, 1, t(words.UNREADABLE_YAML, reason=error.reason), _YAML_HINT, "not-yaml")
        return root

    def _refuse_at(self, event: yaml.Event, message: str, hint: str, code: str) -> None:
        self.refuse(*_place(event), message, hint, code)

    def _node(self, event: yaml.Event, depth: int) -> Node:
        place = _place(event)
        if depth > DEEPEST:
            # Reading on would be the very recursion that the limit is there to stop.
            self._refuse_at(
                event,
                t(words.NESTED_TOO_DEEP, deepest=DEEPEST),
                t(words.NESTED_TOO_DEEP_HINT),
                "too-deep",
            )
            raise SourceErrors(self.problems)
        if isinstance(event, yaml.AliasEvent):
            self._refuse_at(
                event, t(words.IS_AN_ALIAS, anchor=str(event.anchor)), _ALIAS_HINT, "alias"
            )
            return Text(*place, "")
        # The parser gives nothing but scalars, lists and mappings here.
        assert isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent)  # noqa: S101 - see above
        if event.anchor is not None:
            self._refuse_at(event, t(words.IS_AN_ANCHOR, anchor=event.anchor), _ALIAS_HINT, "alias")
        if event.tag is not None:
            self._refuse_at(event, t(words.IS_A_TAG, tag=event.tag), t(words.IS_A_TAG_HINT), "tag")
        if isinstance(event, yaml.SequenceStartEvent):
            return self._items(Items(*place, is_flow=bool(event.flow_style)), depth)
        if isinstance(event, yaml.MappingStartEvent):
            return self._mapping(Mapping(*place, is_flow=bool(event.flow_style)), depth)
        assert isinstance(event, yaml.ScalarEvent)  # noqa: S101 - what is left
        said = unicodedata.normalize("NFC", event.value)
        return Text(*place, said, quote=event.style or "")

    def _items(self, items: Items, depth: int) -> Items:
        for event in self._events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            items.values.append(self._node(event, depth + 1))
        return items

    def _mapping(self, mapping: Mapping, depth: int) -> Mapping:
        for event in self._events:
            if isinstance(event, yaml.MappingEndEvent):
                break
            key = self._node(event, depth + 1)
            value = self._node(next(self._events), depth + 1)
            if not isinstance(key, Text):
                self._refuse_at(event, t(words.KEY_NOT_WORD), t(words.KEY_NOT_WORD_HINT), "key")
            elif key.value in mapping.values:
                first = mapping.keys[key.value].line
                self._refuse_at(
                    event,
                    t(words.KEY_TWICE, key_value=key.value, first=first),
                    t(words.KEY_TWICE_HINT),
                    "twice",
                )
            else:
                mapping.keys[key.value] = key
                mapping.values[key.value] = value
        return mapping


_YAML_HINT = t(words.NOT_YAML_HINT)
_ALIAS_HINT = t(words.NO_ALIASES_HINT)
