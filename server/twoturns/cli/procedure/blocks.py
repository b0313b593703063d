"""`twoturns procedure blocks`: what each asks for, and what was made with it."""

from collections.abc import Iterator
from pathlib import Path

import click

from twoturns.cli.parts import data_option, open_store, refuses_in_words
from twoturns.cli.procedure.group import procedure
from twoturns.procedure.blocks.block import Block
from twoturns.procedure.blocks.library import library
from twoturns.procedure.errors import nearest
from twoturns.store.bundles import MadeWith, made_with_blocks
from twoturns.words import t
from twoturns.words.en.cli.procedure import blocks as words


@procedure.command()
@click.argument("name", required=False)
@click.option(
    "--full", is_flag=True, help="The text of block NAME, with the lines that faults name."
)
@data_option
@refuses_in_words
def blocks(name: str | None, full: bool, data: Path) -> None:
    """
    List the blocks that procedures are written with, or tell what block NAME asks for.

    A withdrawn edition is named with its reason, and with every published procedure of the
    workshop that was made with it.

    Example:

    \b
        twoturns procedure blocks
        twoturns procedure blocks engine_mount
        twoturns procedure blocks engine_mount --full
    """
    if full and name is None:
        raise click.UsageError(t(words.FULL_OF_ONE))
    made = made_with_blocks(open_store(data, needs_key=False)) if data.is_dir() else []
    kept = library()
    if name is not None and name not in kept:
        raise click.ClickException(f"{t(words.NO_SUCH_BLOCK, name=name)}\n{nearest(name, kept)}")
    for each in [name] if name else kept:
        of_one = _text(kept[each]) if full else _asked(kept[each])
        for line in (*_told(kept[each], made), *(of_one if name else ())):
            click.echo(line)


def _told(block: Block, made: list[MadeWith]) -> Iterator[str]:
    yield t(words.BLOCK, id=block.id, edition=block.edition, name=block.name)
    for edition, why in block.withdrawn.items():
        yield t(words.WITHDRAWN, edition=edition, because=why)
    for each in made:
        if each.block == block.id:
            is_withdrawn = each.block_edition in block.withdrawn
            yield t(
                words.MADE_WITH_WITHDRAWN if is_withdrawn else words.MADE_WITH,
                block_edition=each.block_edition,
                name=each.name,
                edition=each.edition,
                bundle=each.bundle[:12],
            )


def _text(block: Block) -> Iterator[str]:
    for number, line in enumerate(block.text.splitlines(), start=1):
        yield f"{number:4}  {line}".rstrip()


def _asked(block: Block) -> Iterator[str]:
    yield f"  {block.because}"
    data = block.document.data
    if block.asked:
        yield t(words.FILL_IN)
    for word, asked in block.asked.items():
        kind = f"{asked.kind}, {asked.unit}" if asked.unit else asked.kind
        otherwise = data["fill_in"][word].get("otherwise")
        yield t(
            words.ASKED,
            word=word,
            kind=kind,
            says=asked.says,
            may=asked.may_lack or asked.is_known or otherwise is not None,
        )
    if "steps" in data:
        yield t(words.STEPS)
    for step in data.get("steps", ()):
        yield f"    {step.get('id')}: {step.get('title')}"
