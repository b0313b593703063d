"""
Blocks as an author finds them in a procedure that was just begun: chosen, and left to be filled in.

What is not known stands as an empty text with what it is beside it: `check` then names each at its
line, with the form that it has.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from twoturns.procedure.blocks.block import Asked, Block
from twoturns.procedure.blocks.order import as_done
from twoturns.procedure.blocks.unfold import stands_beside
from twoturns.procedure.blocks.written import WrittenStep, steps_of
from twoturns.procedure.language import source
from twoturns.procedure.language.source import plain
from twoturns.words import t
from twoturns.words.en.procedure.blocks import begin as texts

_EMPTY: Final = "''"


def begun(blocks: Sequence[Block], known: Mapping[str, str]) -> str:
    """
    Return the parts of a source that choose blocks: `blocks`, `fill_in`, `steps`, and the
    beginnings of `tools` and `absent`.

    Args:
        blocks: In the order in which they stand.
        known: What can be filled in already, by name.
    """
    times = Counter(word for block in blocks for word in block.asked)
    lines = ["blocks:"]
    for block in blocks:
        own = [line for line in _left_open(block, known) if times[line.word] == 1]
        lines += _under(block.id, own, "  ")
    said = [line for block in blocks for line in _left_open(block, known)]
    said.sort(key=lambda line: line.is_needed)  # where one block needs it, it is needed
    common = [line for word, line in {line.word: line for line in said}.items() if times[word] > 1]
    if common:
        lines += ["", *_under("fill_in", common, "")]
    lines += ["", f"steps:  # {t(texts.IN_ORDER_OF_WORK)}", *_in_phases(blocks)]
    return "\n".join([*lines, "", t(texts.OWN_WORDS, a="{", b="}")])


@dataclass(frozen=True)
class _Left:
    """A name that is left open, with its line. What need not be said is a comment."""

    word: str
    line: str
    is_needed: bool


def _left_open(block: Block, known: Mapping[str, str]) -> Iterator[_Left]:
    needed = _needed(block)
    for word, asked in block.asked.items():
        is_needed = word in needed
        says = asked.says if is_needed else t(texts.MAY_BE_LEFT_OUT, says=asked.says)
        line = f"{word}: {known.get(word, _EMPTY)}  # {says} ({_form(asked)})"
        yield _Left(word, line if is_needed else f"# {line}", is_needed)


def _under(head: str, left: Sequence[_Left], indent: str) -> list[str]:
    is_open = any(each.is_needed for each in left)
    lines = [f"{indent}  {each.line}" for each in left]
    return [f"{indent}{head}:" if is_open else f"{indent}{head}: {{}}", *lines]


def _needed(block: Block) -> set[str]:
    """What a block cannot do without."""
    written = plain(block.document.root.values["fill_in"]) if block.asked else {}
    return {
        word
        for word, asked in block.asked.items()
        if not asked.may_lack and "otherwise" not in written[word] and not asked.is_known
    }


def _form(asked: Asked) -> str:
    """What is written there, in a few words."""
    of = [name for name, _ in asked.of]
    return ", ".join(each for each in (asked.kind, asked.unit, *of) if each)


def _in_phases(blocks: Sequence[Block]) -> Iterator[str]:
    """The steps of all blocks, a line a phase, in the order of the work."""
    phases: dict[str, list[str]] = {}
    for block in blocks:
        for phase in plain(block.document.root.values.get("phases", source.Mapping(0, 0))):
            phases.setdefault(phase, [])
    chosen = {block.id for block in blocks}
    every = [step for block in blocks for step in steps_of(block) if not step.is_way_back]
    steps = [step for step in every if stands_beside(step.node, chosen)]
    for step in steps:
        if _stands(step, blocks):
            phases.setdefault(step.phase, []).append(step.name)
    for phase, names in phases.items():
        if names:
            yield f"  - [{', '.join(as_done(names))}]  # {phase}"
    yield from _comments(steps)


def _stands(step: WrittenStep, blocks: Sequence[Block]) -> bool:
    """Whether a step is there when nothing optional is filled in."""
    block = next(each for each in blocks if each.id == step.at.block)
    return (not step.where or _is_there(block, step.where)) and not (
        step.where_not and _is_there(block, step.where_not)
    )


def _is_there(block: Block, word: str) -> bool:
    path = ("fill_in", word, "otherwise")
    node = block.document.node(path)
    return node is not block.document.node(path[:2]) and plain(node) != "no"


def _comments(steps: Sequence[WrittenStep]) -> Iterator[str]:
    """What becomes of the names, or of a step, by what is filled in."""
    named: dict[str, list[str]] = {}
    for step in steps:
        for word in step.left_open:
            named.setdefault(word, []).append(step.name)
    for word, names in named.items():
        yield f"  # {t(texts.NAME_LEFT_OPEN, word=word, steps=', '.join(names))}"
    for step in steps:
        if step.where:
            yield f"  # {t(texts.STANDS_WHERE, step=step.name, phase=step.phase, word=step.where)}"
        if step.where_not:
            yield f"  # {t(texts.STANDS_WHERE_NOT, step=step.name, word=step.where_not)}"
