"""
One block with its figures filled in: the parts of a procedure that it brings.

    {nm}  {litres.low}      what was filled in
    {each locks}            a text, a key or a member of a list for each member
    {all pins}  {number pins}   `L1, L2 and L3`, `three`; a count likewise
    {Nm}  {Number pins}     the same with a capital, at the head of a sentence
    where: stud             a part that stands only where something is filled in (and is not `no`)
    where_not: stud         the other way about
    where_block: idler      a part that stands only where the procedure takes that block, or one of
                            a list of them; `where_no_block`: where it takes none of them
    each: locks             a mapping of a list, once for each; `{each locks.pin}` inside
    then:                   what stands under the condition, where that is a text or several parts;
                            `otherwise`: what stands there where the condition does not hold

Every part keeps two places: in the procedure where the figure was filled in, else where the block
was chosen; and the line of the block's own file.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from twoturns.procedure.blocks.block import SECTIONS, Block
from twoturns.procedure.blocks.fill_in import OPEN, Filled, FillIn, Opening, counted, said
from twoturns.procedure.errors import BlockLine, SourceError, nearest
from twoturns.procedure.language import source
from twoturns.procedure.language.source import Items, Node, Text, fault_at
from twoturns.words import t
from twoturns.words.en.procedure.blocks import unfold as texts

Bound = Mapping[str, Filled]
_CONDITIONS: Final = ("where", "where_not")
_OF_BLOCKS: Final = ("where_block", "where_no_block")
_OTHERWISE: Final = "otherwise"


@dataclass(frozen=True)
class Unfolded:
    """What one block brings: the parts of a procedure by name, and its steps."""

    sections: dict[str, Node]
    steps: list[source.Mapping]
    problems: list[SourceError]


def unfold(block: Block, at: Text, filled: FillIn, chosen: Collection[str]) -> Unfolded:
    """
    Return what a block brings, with everything filled in.

    Args:
        block: The block.
        at: Where the procedure chose it.
        filled: What the procedure fills in.
        chosen: The names of all blocks that it takes.
    """
    writer = _Writer(block, at, filled, chosen)
    root = block.document.root.values
    sections: dict[str, Node] = {
        word: writer.node(root[word], {}) for word in SECTIONS if word in root
    }
    written = root.get("steps")
    steps = writer.members_of(written.values, {}) if isinstance(written, Items) else []
    for step in steps:
        if not isinstance(step, source.Mapping):
            writer.refuse(step, t(texts.STEP_NO_MAPPING), t(texts.STEP_NO_MAPPING_HINT), "mapping")
    mappings = [step for step in steps if isinstance(step, source.Mapping)]
    return Unfolded(sections, mappings, writer.problems)


def stands_beside(node: source.Mapping, chosen: Collection[str]) -> bool:
    """Whether a part of a block stands in a procedure that takes these blocks."""
    for word in _OF_BLOCKS:
        named = node.values.get(word)
        names = named.values if isinstance(named, Items) else [named]
        is_there = any(isinstance(each, Text) and each.value in chosen for each in names)
        if named is not None and is_there != (word == "where_block"):
            return False
    return True


class _Writer:
    def __init__(self, block: Block, at: Text, filled: FillIn, chosen: Collection[str]) -> None:
        self.problems: list[SourceError] = []
        self._block, self._at, self._filled, self._chosen = block, at, filled, chosen

    def refuse(self, node: Node, message: str, hint: str, code: str) -> None:
        """Note a fault of a part that is written already, or of the block's own file."""
        if node.block is None:
            node = replace(self._at, block=BlockLine(self._block.id, node.line))
        self.problems.append(fault_at(node, message, hint=hint, code=code))

    def node(self, node: Node, bound: Bound) -> Node:
        """Return a part as it stands in the procedure."""
        if isinstance(node, source.Mapping):
            return self._mapping(node, bound)
        if isinstance(node, Items):
            return self._items(node, bound)
        filled = self._whole(node, bound)
        if filled is not None and filled.members is not None:
            return self._items(Items(node.line, node.column, [node], is_flow=True), bound)
        return self._text(node, node.value, bound)

    def members_of(self, nodes: list[Node], bound: Bound) -> list[Node]:
        """Return what the members of a list become: each of them none, one or several."""
        return [written for node in nodes for written in self._members(node, bound)]

    def _members(self, node: Node, bound: Bound) -> Iterator[Node]:
        if isinstance(node, Text):
            yield from self._texts(node, bound)
        elif isinstance(node, Items):
            yield self._items(node, bound)
        elif not self._is_wanted(node, bound):
            if _OTHERWISE in node.values:
                yield from self.members_of([node.values[_OTHERWISE]], bound)
        else:
            yield from self._repeated(_without(node, *_CONDITIONS, *_OF_BLOCKS, _OTHERWISE), bound)

    def _repeated(self, node: source.Mapping, bound: Bound) -> Iterator[Node]:
        each = node.values.get("each")
        if not isinstance(each, Text):
            yield from self._bare(node, bound)
            return
        filled = self._of(each, each.value, bound)
        for member in (filled.members or ()) if filled else ():
            yield from self._bare(_without(node, "each"), {**bound, each.value: member})

    def _bare(self, node: source.Mapping, bound: Bound) -> Iterator[Node]:
        if set(node.values) != {"then"}:
            yield self._mapping(node, bound)
        elif isinstance(then := node.values["then"], Items):
            yield from self.members_of(then.values, bound)
        else:
            yield from self._members(then, bound)

    def _is_wanted(self, node: source.Mapping, bound: Bound) -> bool:
        for word in _CONDITIONS:
            asked = node.values.get(word)
            if isinstance(asked, Text):
                filled = self._of(asked, asked.value, bound, may_lack=True)
                is_there = filled is not None and filled.is_there
                if is_there != (word == "where"):
                    return False
        return stands_beside(node, self._chosen)

    def _items(self, node: Items, bound: Bound) -> Items:
        values = self.members_of(node.values, bound)
        return Items(*self._place(), values, self._line(node), node.is_flow)

    def _mapping(self, node: source.Mapping, bound: Bound) -> source.Mapping:
        written = source.Mapping(*self._place(), block=self._line(node), is_flow=node.is_flow)
        for key, whole in node.values.items():
            value = self._wanted(whole, bound)
            if value is None:
                continue
            for name, inner in self._keys(node.keys[key], bound):
                if name.value in written.values:
                    self.refuse(
                        name,
                        t(texts.KEY_TWICE, key=name.value),
                        t(texts.KEY_TWICE_HINT),
                        "twice",
                    )
                written.keys[name.value] = name
                written.values[name.value] = self.node(value, inner)
        return written

    def _wanted(self, node: Node, bound: Bound) -> Node | None:
        """What stands under a condition; None where it does not hold."""
        if not isinstance(node, source.Mapping):
            return node
        if not self._is_wanted(node, bound):
            return node.values.get(_OTHERWISE)
        bare = _without(node, *_CONDITIONS, *_OF_BLOCKS, _OTHERWISE)
        return bare.values["then"] if set(bare.values) == {"then"} else bare

    def _keys(self, key: Text, bound: Bound) -> Iterator[tuple[Text, Bound]]:
        for inner in self._each(key, bound):
            yield self._text(key, key.value, inner), inner

    def _texts(self, node: Text, bound: Bound) -> Iterator[Text]:
        filled = self._whole(node, bound)
        if filled is not None and filled.members is not None:
            for member in filled.members:
                yield self._by(member, member.text, node)
            return
        for inner in self._each(node, bound):
            yield self._text(node, node.value, inner)

    def _each(self, node: Text, bound: Bound) -> Iterator[Bound]:
        """What a text says `each` of, once for every member; the text once where it says none."""
        openings = map(Opening.of, OPEN.finditer(node.value))
        word = next(
            (each.name for each in openings if each.how == "each" and each.name not in bound),
            None,
        )
        if word is None:
            yield bound
            return
        filled = self._of(node, word, bound)
        for member in (filled.members or ()) if filled else ():
            yield {**bound, word: member}

    def _text(self, node: Text, value: str, bound: Bound) -> Text:
        used: list[Filled] = []

        def open_up(found: re.Match[str]) -> str:
            opening = Opening.of(found)
            filled = self._of(node, opening.name, bound)
            if filled is None:
                return ""
            used.append(filled)
            return opening.written(self._says(node, opening, filled))

        written = OPEN.sub(open_up, value)
        return self._by(used[0] if len(used) == 1 else None, written, node)

    def _whole(self, node: Text, bound: Bound) -> Filled | None:
        """What a text stands for that is nothing but one name."""
        found = OPEN.fullmatch(node.value)
        opening = Opening.of(found) if found else None
        return self._of(node, opening.name, bound) if opening and not opening.how else None

    def _says(self, node: Text, opening: Opening, filled: Filled) -> str:
        how, part = opening.how, opening.part
        if part and filled.members is None and part not in filled.parts:
            self.refuse(
                node,
                t(texts.NO_PART, word=opening.name, part=part),
                nearest(part, filled.parts),
                "unknown",
            )
        if how == "number":
            return counted(filled)
        if how == "all":
            *most, last = [said(member, part) for member in filled.members or ()] or [""]
            return f"{', '.join(most)} and {last}" if most else last
        return said(filled, part)

    def _of(self, node: Node, word: str, bound: Bound, *, may_lack: bool = False) -> Filled | None:
        if word in bound:
            return bound[word]
        filled = self._filled.get(word)
        if filled is None and not (may_lack and word in self._block.asked):
            self._refuse_open(node, word)
        return filled

    def _refuse_open(self, node: Node, word: str) -> None:
        if word not in self._block.asked:
            self.refuse(
                node,
                t(texts.UNKNOWN_OPEN, word=word, block=self._block.id),
                nearest(word, self._block.asked),
                "unknown",
            )
        elif self._block.asked[word].may_lack:
            self.refuse(
                node,
                t(texts.MAY_LACK, word=word, block=self._block.id),
                t(texts.MAY_LACK_HINT, word=word),
                "missing",
            )

    def _by(self, filled: Filled | None, value: str, node: Text) -> Text:
        """A text, at the place of the one thing that was filled in for it."""
        line, column = self._place()
        if filled is not None and filled.node.block is None:
            line, column = filled.node.line, filled.node.column
        quote = node.quote if value == node.value else ""  # braces wanted them
        return Text(line, column, value, self._line(node), quote)

    def _place(self) -> tuple[int, int]:
        return self._at.line, self._at.column

    def _line(self, node: Node) -> BlockLine:
        return BlockLine(self._block.id, node.line)


def _without(node: source.Mapping, *words: str) -> source.Mapping:
    values = {key: value for key, value in node.values.items() if key not in words}
    return replace(node, values=values)
