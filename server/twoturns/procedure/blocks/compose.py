"""
A procedure with its blocks: every part of it written out, as if no block had been there.

`blocks` of a source says which it takes and what is filled in, `fill_in` what stands for every
block that asks for it. `steps` sets the order: the name of a block's step, several of them in
brackets, a step of a block with something otherwise (`step`), or a step of the procedure's own
(`id`). Ways back follow in the order of the blocks. What the procedure says itself goes over what
a block says.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from twoturns.procedure.blocks.block import Block
from twoturns.procedure.blocks.fill_in import FillIn
from twoturns.procedure.blocks.follows import following
from twoturns.procedure.blocks.merge import joined, members, named_member, over
from twoturns.procedure.blocks.unfold import unfold
from twoturns.procedure.blocks.written import steps_of
from twoturns.procedure.errors import Place, SourceError, SourceErrors, nearest
from twoturns.procedure.language import source
from twoturns.procedure.language.source import Document, Items, Node, Text, fault_at, plain
from twoturns.words import t
from twoturns.words.en.procedure.blocks import compose as texts

_BLOCKS, _FILL_IN = "blocks", "fill_in"


@dataclass(frozen=True)
class Taken:
    """A block that a procedure takes. `withdrawn`: why it should not. `place`: where it does."""

    id: str
    edition: int
    sha256: str
    withdrawn: str | None
    place: Place


def composed(document: Document, blocks: Mapping[str, Block]) -> tuple[Document, tuple[Taken, ...]]:
    """
    Return a source with all that its blocks bring, and which they are.

    Args:
        document: As it was read. One that takes no block is returned as it is.
        blocks: Those that can be taken, by name.

    Raises:
        SourceErrors: With every fault found.
    """
    if _BLOCKS not in document.root.values:
        return document, ()
    composer = _Composer(document.root, blocks)
    composer.take_all()
    composer.raise_problems()  # what lacks its figures has no steps yet that could be in order
    root = composer.root()
    composer.raise_problems()
    return Document(root, plain(root)), tuple(composer.taken)


@dataclass
class _Step:
    """A step of a block. `is_placed`: whether the procedure says where it stands."""

    block: str
    node: source.Mapping
    at: Text
    is_placed: bool = False


@dataclass
class _Composer:
    said: source.Mapping
    blocks: Mapping[str, Block]
    problems: list[SourceError] = field(default_factory=list)
    taken: list[Taken] = field(default_factory=list)
    steps: dict[str, _Step] = field(default_factory=dict)
    sections: dict[str, Node] = field(default_factory=dict)

    def raise_problems(self) -> None:
        """Tell what was found: what several blocks were given alike, once."""
        if self.problems:
            raise SourceErrors(list(dict.fromkeys(self.problems)))

    def root(self) -> source.Mapping:
        """Return the source with what its blocks bring, in its order."""
        values: dict[str, Node] = {}
        for word, node in {**self.sections, **self.said.values}.items():
            if word not in (_BLOCKS, _FILL_IN, "steps"):
                below = self.sections.get(word)
                values[word] = over(below, node) if below and below is not node else node
        values["steps"] = self._in_order()
        keys = {
            word: self.said.keys.get(word, _text_at(node, word)) for word, node in values.items()
        }
        return replace(self.said, values=values, keys=keys)

    def _refuse(self, node: Node, message: str, hint: str, code: str) -> None:
        self.problems.append(fault_at(node, message, hint=hint, code=code))

    # Which blocks, and what they bring

    def take_all(self) -> None:
        """Read what is filled in, and what each block brings with it."""
        shared = self._mapping_of(_FILL_IN)
        used: set[str] = set()
        asked: set[str] = set()
        chosen = self._mapping_of(_BLOCKS)
        drive = following(self.said)
        for name, choice in chosen.values.items() if chosen else ():
            at = chosen.keys[name] if chosen else self.said.keys[_BLOCKS]
            if name not in self.blocks:
                hint = nearest(name, self.blocks)
                self._refuse(at, t(texts.UNKNOWN_BLOCK, name=name), hint, "unknown")
            elif not isinstance(choice, source.Mapping):
                hint = t(texts.CHOICE_NO_MAPPING_HINT)
                self._refuse(at, t(texts.CHOICE_NO_MAPPING, name=name), hint, "mapping")
            else:
                filled = FillIn(self.blocks[name], at, choice, shared, drive)
                used |= filled.taken
                asked |= set(self.blocks[name].asked)
                self._take(self.blocks[name], at, choice, filled)
        for word, key in shared.keys.items() if shared else ():
            if word not in used:
                hint = nearest(word, asked) if word not in asked else t(texts.FILLED_TWICE_HINT)
                self._refuse(key, t(texts.NOBODY_ASKS, word=word), hint, "unknown")

    def _mapping_of(self, word: str) -> source.Mapping | None:
        node = self.said.values.get(word)
        if node is None or isinstance(node, source.Mapping):
            return node
        self._refuse(
            node, t(texts.NO_MAPPING, word=word), t(texts.CHOICE_NO_MAPPING_HINT), "mapping"
        )
        return None

    def _take(self, block: Block, at: Text, choice: source.Mapping, filled: FillIn) -> None:
        self.problems += filled.problems
        self._check_edition(block, choice)
        withdrawn = block.withdrawn.get(block.edition)
        place = Place(at.line)
        self.taken.append(Taken(block.id, block.edition, block.sha256, withdrawn, place))
        if filled.problems:
            return
        chosen = self._mapping_of(_BLOCKS)
        brought = unfold(block, at, filled, chosen.values if chosen else ())
        self.problems += brought.problems
        for word, node in brought.sections.items():
            known = self.sections.get(word)
            self.sections[word] = node if known is None else joined(known, node, self._differ)
        without = self._without(choice)
        for step in brought.steps:
            self._keep(block, step, at, without)
        for name, node in without.items():
            self._refuse(
                node,
                t(texts.NO_SUCH_STEP, name=name),
                nearest(name, [step_id for step in brought.steps if (step_id := _id_of(step))]),
                "unknown",
            )

    def _check_edition(self, block: Block, choice: source.Mapping) -> None:
        wanted = choice.values.get("edition")
        if wanted is not None and plain(wanted) != str(block.edition):
            self._refuse(
                wanted,
                t(texts.OTHER_EDITION, block=block.id, edition=block.edition),
                t(texts.OTHER_EDITION_HINT),
                "block-edition",
            )

    def _without(self, choice: source.Mapping) -> dict[str, Text]:
        node = choice.values.get("without")
        listed = node.values if isinstance(node, Items) else [node] if node else []
        return {each.value: each for each in listed if isinstance(each, Text)}

    def _keep(self, block: Block, step: source.Mapping, at: Text, without: dict[str, Text]) -> None:
        step_id = _id_of(step)
        if without.pop(step_id, None) is not None:
            return
        if step_id in self.steps:
            self._differ(self.steps[step_id].node, step)
            return
        self.steps[step_id] = _Step(block.id, step, at)

    def _differ(self, one: Node, other: Node) -> None:
        said = t(texts.BLOCKS_DIFFER, one=str(one.block), other=str(other.block))
        self._refuse(other, said, t(texts.BLOCKS_DIFFER_HINT), "blocks")

    # In which order

    def _in_order(self) -> Items:
        written = self.said.values.get("steps")
        listed = written.values if isinstance(written, Items) else []
        steps = [step for node in listed for step in self._listed(node)]
        steps += [each.node for each in self.steps.values() if self._follows(each)]
        place = written or self.said
        return Items(place.line, place.column, _numbered(steps))

    def _follows(self, step: _Step) -> bool:
        if not step.is_placed and not _is_way_back(step.node):
            self._refuse(
                replace(step.at, block=step.node.block),
                t(texts.STEP_NOWHERE, step=_id_of(step.node), block=step.block),
                t(texts.STEP_NOWHERE_HINT),
                "block-step",
            )
        return not step.is_placed

    def _listed(self, node: Node) -> Iterator[Node]:
        if isinstance(node, Items):
            for each in node.values:
                yield from self._listed(each)
        elif isinstance(node, Text):
            yield from self._placed(node.value, node)
        elif "step" in node.values:
            yield from self._changed(node)
        else:
            yield node

    def _placed(self, name: str, at: Node) -> Iterator[source.Mapping]:
        step = self.steps.get(name)
        if step is None:
            hint = self._called_otherwise(name) or nearest(name, self.steps)
            self._refuse(at, t(texts.NO_SUCH_STEP, name=name), hint, "unknown")
        elif step.is_placed:
            self._refuse(at, t(texts.STEP_TWICE, name=name), t(texts.STEP_TWICE_HINT), "twice")
        else:
            step.is_placed = True
            moved = _moved(step.node, step.at, at)
            assert isinstance(moved, source.Mapping)  # noqa: S101 - as it was
            yield moved

    def _called_otherwise(self, name: str) -> str:
        """What a step is called here whose block leaves its name open, or why it is not there."""
        here = {step.node.block: step_id for step_id, step in self.steps.items()}
        for taken in self.taken:
            for written in steps_of(self.blocks[taken.id]):
                if written.name == name and written.at in here:
                    called = here[written.at]
                    self.steps[called].is_placed = True  # that it stands nowhere is not told, too
                    return t(texts.CALLED_HERE, step=called, words=", ".join(written.left_open))
                if written.name == name and written.where:
                    return t(texts.STANDS_WHERE, block=taken.id, word=written.where)
                if written.name == name and written.where_not:
                    return t(texts.STANDS_WHERE_NOT, block=taken.id, word=written.where_not)
        return ""

    def _changed(self, change: source.Mapping) -> Iterator[Node]:
        name = change.values["step"]
        for step in self._placed(str(plain(name)), name):
            left = self._left_out(step, change.values.get("leave_out"))
            own = {
                word: node
                for word, node in change.values.items()
                if word not in ("step", "leave_out")
            }
            yield over(left, replace(change, values=own))

    def _left_out(self, step: source.Mapping, written: Node | None) -> source.Mapping:
        listed = written.values if isinstance(written, Items) else [written] if written else []
        for each in listed:
            word, _, member = str(plain(each)).partition(".")
            part = step.values.get(word)
            found = part if not member else _inside(part, member)
            if found is None:
                said = t(texts.NOTHING_TO_LEAVE_OUT, what=str(plain(each)))
                hint = nearest(member, members(part)) if part else nearest(word, step.values)
                self._refuse(each, said, hint, "unknown")
            else:
                step = _lacking(step, word, found if member else None)
        return step


def _id_of(step: source.Mapping) -> str:
    return str(plain(step.values["id"])) if "id" in step.values else ""


def _is_way_back(step: source.Mapping) -> bool:
    undo = step.values.get("undo")
    return isinstance(undo, Text) and undo.value == "yes"


def _inside(part: Node | None, member: str) -> Node | None:
    if isinstance(part, source.Mapping):
        return part.values.get(member)
    return named_member(part, member)


def _lacking(step: source.Mapping, word: str, member: Node | None) -> source.Mapping:
    values = {key: node for key, node in step.values.items() if key != word}
    part = step.values[word]
    if member is not None and isinstance(part, Items):
        values[word] = replace(part, values=[each for each in part.values if each is not member])
    elif member is not None and isinstance(part, source.Mapping):
        left = {key: node for key, node in part.values.items() if node is not member}
        values[word] = replace(part, values=left)
    return replace(step, values=values)


def _moved(node: Node, of: Node, to: Node) -> Node:
    """The same part, where a step is listed instead of where its block was chosen."""
    is_there = (node.line, node.column) == (of.line, of.column)
    line, column = (to.line, to.column) if is_there else (node.line, node.column)
    if isinstance(node, Text):
        return replace(node, line=line, column=column)
    if isinstance(node, Items):
        values = [_moved(each, of, to) for each in node.values]
        return replace(node, line=line, column=column, values=values)
    keys = {word: replace(key, line=line, column=column) for word, key in node.keys.items()}
    moved = {word: _moved(each, of, to) for word, each in node.values.items()}
    return replace(node, line=line, column=column, values=moved, keys=keys)


def _numbered(steps: list[Node]) -> list[Node]:
    """Number the steps that have a place in the order and no number of their own."""
    numbered, number = [], 0
    for step in steps:
        has_place = isinstance(step, source.Mapping) and not _is_way_back(step)
        number += has_place
        numbered.append(_with_number(step, number) if has_place else step)
    return numbered


def _with_number(step: Node, number: int) -> Node:
    if not isinstance(step, source.Mapping) or "number" in step.values:
        return step
    first = {word: node for word, node in step.values.items() if word == "id"}
    values = {**first, "number": _text_at(step, str(number)), **step.values}
    return replace(step, values=values, keys={**step.keys, "number": _text_at(step, "number")})


def _text_at(node: Node, value: str) -> Text:
    return Text(node.line, node.column, value, node.block)
