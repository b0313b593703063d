"""The steps of a block as its file has them, before anything is filled in."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from twoturns.procedure.blocks.block import Block
from twoturns.procedure.blocks.fill_in import OPEN, Opening
from twoturns.procedure.errors import BlockLine
from twoturns.procedure.language import source
from twoturns.procedure.language.source import Items, Text, plain


@dataclass(frozen=True)
class WrittenStep:
    """
    A step of a block.

    Args:
        name: Its name, with the name of what is left open in the place of it: `secure_vehicle`.
        phase: The phase that it stands in.
        left_open: What is filled into its name.
        where: It stands only where this is filled in; empty where it needs nothing.
        where_not: It stands only where this is not.
        is_way_back: Whether it is done only when it is needed.
        at: Where it stands in the block's file.
        node: All of it.
    """

    name: str
    phase: str
    left_open: tuple[str, ...]
    where: str
    where_not: str
    is_way_back: bool
    at: BlockLine
    node: source.Mapping


def steps_of(block: Block) -> Iterator[WrittenStep]:
    """Yield the steps of a block, in the order of its file."""
    steps = block.document.root.values.get("steps")
    for step in steps.values if isinstance(steps, Items) else ():
        if isinstance(step, source.Mapping) and "id" in step.values:
            yield _step(block, step)


def _step(block: Block, step: source.Mapping) -> WrittenStep:
    said = {word: node.value for word, node in step.values.items() if isinstance(node, Text)}
    written = str(plain(step.values["id"]))
    return WrittenStep(
        name=OPEN.sub(lambda found: Opening.of(found).name, written),
        phase=said.get("phase", ""),
        left_open=tuple(Opening.of(found).name for found in OPEN.finditer(written)),
        where=said.get("where", ""),
        where_not=said.get("where_not", ""),
        is_way_back=said.get("undo") == "yes",
        at=BlockLine(block.id, step.line),
        node=step,
    )


def bringers(
    kept: Mapping[str, Block], taken: Collection[str], condition: str, value: str
) -> Iterator[str]:
    """
    Yield the blocks that a procedure could take for a condition, or for a value of it, and does
    not. A procedure that takes no block is told of none.
    """
    for name in kept if taken else ():
        if name not in taken and _brings(kept[name], condition, value):
            yield name


def _brings(block: Block, condition: str, value: str) -> bool:
    said = block.document.data.get("conditions", {})
    written = [kind[condition] for kind in said.values() if condition in kind]
    return any(not value or value in each.get("values", ()) for each in written)
