"""The blocks that come with the program, and those that lie beside a procedure."""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable

from twoturns.procedure.blocks.block import Block, read_block
from twoturns.procedure.errors import BlockLine, SourceError, SourceErrors
from twoturns.words import t
from twoturns.words.en.procedure.blocks import library as texts

SUFFIX = ".yaml"


class Library(Mapping[str, Block]):
    """
    Blocks by name, each read when it is asked for: reading is most of the work.

    A file has its block's name; the names are those of the files that are there.
    """

    def __init__(self, files: Mapping[str, Traversable]) -> None:
        self._files = files
        self._read: dict[str, Block] = {}

    def __getitem__(self, name: str) -> Block:
        if name not in self._read:
            self._read[name] = read_block(self._files[name].read_bytes())
        return self._read[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._files)

    def __len__(self) -> int:
        return len(self._files)


@cache
def library() -> Library:
    """Return the blocks of the program."""
    folder = resources.files("twoturns.procedure.blocks")
    files = {
        file.name.removesuffix(SUFFIX): file
        for file in folder.iterdir()
        if file.name.endswith(SUFFIX)
    }
    return Library(dict(sorted(files.items())))


def with_own(own: Mapping[str, bytes], kept: Mapping[str, Block]) -> Mapping[str, Block]:
    """
    Return the library with the blocks that lie beside a procedure.

    Args:
        own: Their bytes, by file name.
        kept: The library.

    Raises:
        SourceErrors: With every fault of theirs, at its line in their own file.
    """
    blocks: dict[str, Block] = {}
    problems: list[SourceError] = []
    for file_name, text in sorted(own.items()):
        stem = file_name.removesuffix(SUFFIX)
        try:
            block = read_block(text)
        except SourceErrors as errors:
            problems += _of_block(stem, errors.problems)
            continue
        if block.id != stem:
            said, hint = t(texts.OTHER_NAME, block=block.id, file=file_name), texts.OTHER_NAME_HINT
            problems.append(_fault(stem, 1, said, t(hint, block=block.id)))
        elif block.id in kept:
            said = t(texts.IS_IN_LIBRARY, block=block.id)
            problems.append(_fault(stem, 1, said, t(texts.IS_IN_LIBRARY_HINT)))
        blocks[block.id] = block
    if problems:
        raise SourceErrors(problems)
    return ChainMap(blocks, kept) if blocks else kept  # type: ignore[arg-type]  # never written


def _of_block(block: str, problems: Iterable[SourceError]) -> Iterable[SourceError]:
    """The faults of a block's file, each with the line there: the procedure has none for them."""
    for each in problems:
        yield replace(each, line=1, column=1, block=BlockLine(block, each.line))


def _fault(block: str, line: int, message: str, hint: str) -> SourceError:
    return SourceError(1, 1, message, hint, "block-name", BlockLine(block, line))
