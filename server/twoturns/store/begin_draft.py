"""What a draft is written with: the library of blocks, and a beginning out of measured wheels."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from twoturns.procedure.blocks.block import Block
from twoturns.procedure.blocks.library import library
from twoturns.procedure.compile.skeleton import read_belt, read_wheel, skeleton
from twoturns.procedure.language.source import plain
from twoturns.store.errors import DraftRefused


@dataclass(frozen=True)
class FillIn:
    """
    What a block asks for under one name. `may_lack`: it need not be filled in. `of`: what each
    member of a list says, names with their kinds; nothing of anything else.
    """

    name: str
    kind: str
    says: str
    unit: str
    may_lack: bool
    of: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class BlockTold:
    """A block of the library. `steps`: id and title of each."""

    block: str
    edition: int
    name: str
    because: str
    withdrawn: bool
    fill_in: tuple[FillIn, ...]
    steps: tuple[tuple[str, str], ...]


def blocks() -> list[BlockTold]:
    """Return the blocks of the library, by their names."""
    return [_told(block) for block in library().values()]


def _told(block: Block) -> BlockTold:
    steps = plain(block.document.root.values["steps"]) if _has(block, "steps") else []
    return BlockTold(
        block=block.id,
        edition=block.edition,
        name=block.name,
        because=block.because,
        withdrawn=block.edition in block.withdrawn,
        fill_in=tuple(_asked(block)),
        steps=tuple((step["id"], step.get("title", step["id"])) for step in steps if "id" in step),
    )


def _asked(block: Block) -> Iterator[FillIn]:
    written = plain(block.document.root.values["fill_in"]) if _has(block, "fill_in") else {}
    for name, asked in block.asked.items():
        may_lack = asked.may_lack or asked.is_known or "otherwise" in written[name]
        yield FillIn(name, asked.kind, asked.says, asked.unit, may_lack, asked.of)


def _has(block: Block, section: str) -> bool:
    return section in block.document.root.values


def begun(
    name: str,
    engine: str,
    belt: str,
    wheels: Sequence[str],
    blocks: Sequence[str] = (),
    *,
    clockwise: bool,
) -> str:
    """
    Return the source of a procedure that has just been begun, out of what was measured.

    Args:
        name: Its id, in small letters.
        engine: The engine's code.
        belt: Teeth and pitch in mm, as `96x8`.
        wheels: As `twoturns procedure new` takes them, in the order the belt runs.
        blocks: The names of those of the library that it is to be written with.
        clockwise: How the crankshaft turns, seen from the belt.

    Raises:
        DraftRefused: `bad-wheels`.
    """
    try:
        measured = [read_wheel(wheel) for wheel in wheels]
        chosen = [library()[block] for block in blocks]
        return skeleton(
            name.replace("-", "_"), engine, read_belt(belt), measured, chosen, clockwise=clockwise
        )
    except ValueError as error:  # a drive's faults are, too
        hint = getattr(error, "hint", "")
        raise DraftRefused("bad-wheels", f"{error}. {hint}".strip(" .")) from error
