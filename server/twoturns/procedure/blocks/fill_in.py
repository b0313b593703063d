"""
What a procedure fills in for a block, read by its kind.

A figure is written with its unit (`47 N·m`), a window with its limits (`6.4 L, 5.4 to 7.0`, or
`5.4 to 7.0 L` without a target). What is not filled in for the block itself is taken from the
procedure's `fill_in`, then from the block's `otherwise`, in which others may be named: `{nm}`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Final

from twoturns.ledger.forms import DECIMAL, NAME, is_formed
from twoturns.procedure.blocks.block import OF_EVERY_CHOICE, Asked, Block
from twoturns.procedure.blocks.follows import Unlike, agreed
from twoturns.procedure.errors import BlockLine, SourceError, nearest
from twoturns.procedure.language import source
from twoturns.procedure.language.fields import WHOLE
from twoturns.procedure.language.source import Items, Node, Text, fault_at
from twoturns.words import t
from twoturns.words.en.procedure.blocks import fill_in as texts

#: What a block's texts leave open: `{nm}`, `{litres.low}`, `{each locks}`, `{all pins}`, and with
#: a capital, as it stands at the head of a sentence, `{Vehicle}`, `{Number bolts}`.
OPEN: Final = re.compile(
    r"\{(?:([Ee]ach|[Aa]ll|[Nn]umber) )?([A-Za-z][a-z0-9_]*)(?:\.([a-z][a-z0-9_]*))?\}"
)
_NUMBERS: Final = t(texts.NUMBERS).split()
_UNIT = r" ?(?P<unit>[^\s,]+)"
_LOW_TO_HIGH = rf"(?P<low>{DECIMAL}) to (?P<high>{DECIMAL})"
_FIGURE = re.compile(rf"(?P<target>{DECIMAL}){_UNIT}")
_WINDOW = re.compile(rf"(?P<target>{DECIMAL}){_UNIT}, {_LOW_TO_HIGH}")
_LIMITS = re.compile(rf"{_LOW_TO_HIGH}{_UNIT}")


@dataclass(frozen=True)
class Opening:
    """
    A place in a text that is left open: `{how name.part}`. `is_capital`: what is said there begins
    a sentence.
    """

    how: str
    name: str
    part: str
    is_capital: bool

    @classmethod
    def of(cls, found: re.Match[str]) -> Opening:
        """Return what a match of `OPEN` says."""
        how, name, part = found[1] or "", found[2], found[3] or ""
        return cls(how.lower(), name[0].lower() + name[1:], part, (how or name)[0].isupper())

    def written(self, said: str) -> str:
        """Return what is said here as it is written here."""
        return said[:1].upper() + said[1:] if self.is_capital else said


@dataclass(frozen=True)
class Filled:
    """
    What stands for an open name. `node`: where it was filled in. `parts`: what follows a dot.
    `members`: of a list; None of everything else.
    """

    node: Node
    text: str = ""
    parts: Mapping[str, str] = field(default_factory=dict)
    members: tuple[Filled, ...] | None = None

    @property
    def is_there(self) -> bool:
        """Whether parts that stand `where` this is so are wanted."""
        return self.text != "no" if self.members is None else bool(self.members)


class _Unfit(Exception):
    """What is filled in is not what is asked for. Holds the place and the sentences."""

    def __init__(self, node: Node, message: str, hint: str, code: str = "fill-in") -> None:
        self.problem = fault_at(node, message, hint=hint, code=code)


class FillIn:
    """Everything that one block is given by a procedure."""

    def __init__(
        self,
        block: Block,
        at: Text,
        choice: source.Mapping,
        shared: source.Mapping | None,
        following: Mapping[str, Node],
    ) -> None:
        self.problems: list[SourceError] = []
        self.taken: set[str] = set()
        self._block, self._at, self._choice = block, at, choice
        self._shared = shared.values if shared else {}
        self._following = following
        self._open: list[str] = []
        self._found: dict[str, Filled] = {}
        self._refuse_unknown()
        for word in block.asked:
            self._fill(word)

    def __getitem__(self, word: str) -> Filled:
        return self._found[word]

    def get(self, word: str) -> Filled | None:
        """Return what stands for a name; None where nothing does."""
        return self._found.get(word)

    def _refuse_unknown(self) -> None:
        known = [*self._block.asked, *OF_EVERY_CHOICE]
        for word, key in self._choice.keys.items():
            if word not in known:
                self.problems.append(
                    fault_at(
                        key,
                        t(texts.NOT_ASKED, block=self._block.id, word=word),
                        hint=nearest(word, known),
                        code="unknown",
                    )
                )

    def _fill(self, word: str) -> None:
        if word in self._found:
            return
        asked = self._block.asked[word]
        try:
            node = self._written(word)
            if node is not None:
                filled = _READERS[asked.kind](self._agreed(node, asked, word), asked, word)
                self._check_number(filled, asked, word)
                self._found[word] = filled
        except _Unfit as unfit:
            self.problems.append(unfit.problem)

    def _written(self, word: str) -> Node | None:
        if word in self._choice.values:
            return self._choice.values[word]
        if word in self._shared:
            self.taken.add(word)
            return self._shared[word]
        asked = self._block.asked[word]
        due = self._following.get(asked.follows or "")
        if due is not None and asked.kind != "list":
            return due
        if asked.as_many_as and asked.kind == "count":
            return replace(self._at, value=str(self._together(asked)))
        asked_at = self._block.document.node(("fill_in", word), key=True)
        line = BlockLine(self._block.id, asked_at.line)
        path = ("fill_in", word, "otherwise")
        otherwise = self._block.document.node(path)
        if otherwise is not self._block.document.node(path[:2]):
            return self._otherwise(otherwise, word, line)
        if asked.may_lack:
            return None
        raise _Unfit(
            replace(self._at, block=line),
            t(texts.NOT_FILLED_IN, block=self._block.id, word=word),
            t(texts.NOT_FILLED_IN_HINT, says=asked.says),
            "missing",
        )

    def _agreed(self, node: Node, asked: Asked, word: str) -> Node:
        """What is filled in, where the drive does not say otherwise."""
        due = self._following.get(asked.follows or "")
        try:
            return node if due is None else agreed(node, due)
        except Unlike as unlike:
            here, there = _shown(unlike.node), unlike.due
            if there is None:
                message = t(texts.NOT_IN_DRIVE, word=word, here=here, follows=asked.follows or "")
                hint = t(texts.NOT_IN_DRIVE_HINT, follows=asked.follows or "")
            else:
                drive, line = _shown(there), there.line
                message = t(texts.UNLIKE_DRIVE, word=word, here=here, drive=drive, line=line)
                hint = t(texts.UNLIKE_DRIVE_HINT)
            raise _Unfit(unlike.node, message, hint, "fill-in-differs") from unlike

    def _together(self, asked: Asked) -> int:
        """How many those are together that something has as many of."""
        for word in asked.as_many_as:
            self._fill(word)
        return sum(_size(self._found[word]) for word in asked.as_many_as if word in self._found)

    def _check_number(self, filled: Filled, asked: Asked, word: str) -> None:
        """One sentence may stand for the order of all."""
        if not asked.as_many_as or (asked.kind != "count" and _size(filled) == 1):
            return
        due = self._together(asked)
        if all(each in self._found for each in asked.as_many_as) and _size(filled) != due:
            names = ", ".join(asked.as_many_as)
            message = t(texts.UNLIKE_NUMBER, word=word, here=_size(filled), names=names, due=due)
            is_count = asked.kind == "count"
            hint = t(texts.UNLIKE_COUNT_HINT if is_count else texts.UNLIKE_NUMBER_HINT, due=due)
            raise _Unfit(filled.node, message, hint, "fill-in-differs")

    def _otherwise(self, node: Node, word: str, line: BlockLine) -> Node:
        """What the block says itself, with what it names in it filled in first."""
        if word in self._open:
            ring = " -> ".join([*self._open[self._open.index(word) :], word])
            raise _Unfit(
                replace(self._at, block=line),
                t(texts.RING, ring=ring),
                t(texts.RING_HINT),
                "block-ring",
            )
        self._open.append(word)
        try:
            return self._placed(node, line)
        finally:
            self._open.pop()

    def _placed(self, node: Node, line: BlockLine) -> Node:
        if isinstance(node, Text):
            said = OPEN.sub(lambda found: self._named(found, line), node.value)
            return replace(self._at, value=said, block=line)
        if isinstance(node, Items):
            values = [self._placed(each, line) for each in node.values]
            return Items(self._at.line, self._at.column, values, line)
        values_of = {key: self._placed(each, line) for key, each in node.values.items()}
        return source.Mapping(self._at.line, self._at.column, values_of, node.keys, line)

    def _named(self, found: re.Match[str], line: BlockLine) -> str:
        opening = Opening.of(found)
        word = opening.name
        if word in self._block.asked:
            self._fill(word)
            if word not in self._found and self.problems:
                return ""  # why it does not stand there is told
        if word not in self._found:
            raise _Unfit(
                replace(self._at, block=line),
                t(texts.UNKNOWN_OPEN, word=word, block=self._block.id),
                nearest(word, self._block.asked),
                "unknown",
            )
        return opening.written(said(self._found[word], opening.part))


def said(filled: Filled, part: str) -> str:
    """Return what a name says in a text; of a list the word for each is `each`, never this."""
    return filled.parts.get(part, "") if part else filled.text


def _size(filled: Filled) -> int:
    """How many members a list has, or a count."""
    return int(filled.text) if filled.members is None else len(filled.members)


def _shown(node: Node) -> str:
    """A part of a source as it is told to whom it concerns."""
    if isinstance(node, Text):
        return node.value
    each = node.values if isinstance(node, Items) else node.values.values()
    return ", ".join(map(_shown, each))


def counted(filled: Filled) -> str:
    """Return how many members a list has, or a count, in a word where there is a short one."""
    number = _size(filled)
    return _NUMBERS[number] if number < len(_NUMBERS) else str(number)


# By kind: what is written, as it is used. Each raises _Unfit.


def _text(node: Node, word: str) -> Text:
    if not isinstance(node, Text):
        raise _Unfit(node, t(texts.NOT_ONE, word=word), t(texts.NOT_ONE_HINT))
    return node


def _formed(form: str | re.Pattern[str], hint: str) -> Callable[[Node, Asked, str], Filled]:
    def read(node: Node, _asked: Asked, word: str) -> Filled:
        value = _text(node, word).value.strip()
        fits = is_formed(value, form) if isinstance(form, str) else form.fullmatch(value)
        if not fits:
            raise _Unfit(node, t(texts.NOT_LIKE_THAT, word=word, value=value), hint)
        return Filled(node, value)

    return read


def _figure(node: Node, asked: Asked, word: str) -> Filled:
    value = _text(node, word).value.strip()
    found = _FIGURE.fullmatch(value)
    if not found:
        hint = t(texts.FIGURE_HINT, unit=asked.unit)
        raise _Unfit(node, t(texts.NOT_LIKE_THAT, word=word, value=value), hint)
    _check_unit(node, asked, word, found["unit"])
    return Filled(node, found["target"])


def _window(node: Node, asked: Asked, word: str) -> Filled:
    value = _text(node, word).value.strip()
    found = _WINDOW.fullmatch(value) or _LIMITS.fullmatch(value)
    if not found:
        hint = t(texts.WINDOW_HINT, unit=asked.unit)
        raise _Unfit(node, t(texts.NOT_LIKE_THAT, word=word, value=value), hint)
    _check_unit(node, asked, word, found["unit"])
    target = found.groupdict().get("target", "")
    return Filled(node, target, {"low": found["low"], "high": found["high"]})


def _check_unit(node: Node, asked: Asked, word: str, unit: str) -> None:
    if unit != asked.unit:
        raise _Unfit(
            node,
            t(texts.WRONG_UNIT, word=word, unit=unit, asked=asked.unit),
            t(texts.WRONG_UNIT_HINT, unit=asked.unit),
            "fill-in-unit",
        )


def _several(kind: str) -> Callable[[Node, Asked, str], Filled]:
    def read(node: Node, asked: Asked, word: str) -> Filled:
        written = node.values if isinstance(node, Items) else [node]
        return Filled(node, members=tuple(_READERS[kind](each, asked, word) for each in written))

    return read


def _list(node: Node, asked: Asked, word: str) -> Filled:
    if not isinstance(node, Items):
        raise _Unfit(node, t(texts.NOT_A_LIST, word=word), t(texts.NOT_A_LIST_HINT))
    return Filled(node, members=tuple(_member(each, asked, word) for each in node.values))


def _member(node: Node, asked: Asked, word: str) -> Filled:
    known = [name for name, _ in asked.of]
    if not isinstance(node, source.Mapping):
        raise _Unfit(
            node, t(texts.NOT_A_MEMBER, word=word), t(texts.MEMBER_HINT, known=", ".join(known))
        )
    for name, key in node.keys.items():
        if name not in known:
            unknown = t(texts.NOT_ASKED, block=word, word=name)
            raise _Unfit(key, unknown, nearest(name, known), "unknown")
    for name in known:
        if name not in node.values:
            raise _Unfit(
                node,
                t(texts.MEMBER_LACKS, word=word, name=name),
                t(texts.MEMBER_HINT, known=", ".join(known)),
                "missing",
            )
    parts = {name: _READERS[kind](node.values[name], asked, name).text for name, kind in asked.of}
    return Filled(node, parts[known[0]], parts)


_READERS: Final[Mapping[str, Callable[[Node, Asked, str], Filled]]] = {
    "name": _formed(NAME, t(texts.NAME_HINT)),
    "names": _several("name"),
    "texts": _several("words"),
    "words": _formed(re.compile(r"(?s).+"), t(texts.WORDS_HINT)),
    "count": _formed(WHOLE, t(texts.COUNT_HINT)),
    "figure": _figure,
    "window": _window,
    "yes_no": _formed(re.compile("yes|no"), t(texts.YES_NO_HINT)),
    "list": _list,
}
