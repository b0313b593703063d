"""`twoturns procedure blocks`: what each asks for, and what was made with it."""

from collections.abc import Iterator
from pathlib import Path

import click

from twoturns.cli.parts import data_option, open_store, refuses_in_words
from twoturns.cli.procedure.group import procedure
from twoturns.procedure.blocks.block import Block
from twoturns.procedure.blocks.library import library
from twoturns.procedure.errors import nearest
from twoturns.procedure.language.source import plain
from twoturns.store.bundles import MadeWith, made_with_blocks
from twoturns.words import t
from twoturns.words.en.cli.procedure import blocks as words


@procedure.command()
@click.argument("name", required=False)
@data_option
@refuses_in_words
def blocks(name: str | None, data: Path) -> None:
    """
    List the blocks that procedures are written with, or tell what block NAME asks for.

    A withdrawn edition is named with its reason, and with every published procedure of the
    workshop that was made with it.

    Example:

    \b
        twoturns procedure blocks
        twoturns procedure blocks engine_mount
    """
    made = made_with_blocks(open_store(data, needs_key=False)) if data.is_dir() else []
    kept = library()
    if name is not None and name not in kept:
        raise click.ClickException(f"{t(words.NO_SUCH_BLOCK, name=name)}\n{nearest(name, kept)}")
    for each in [name] if name else kept:
        for line in (*_told(kept[each], made), *(_asked(kept[each]) if name else ())):
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


def _asked(block: Block) -> Iterator[str]:
    yield f"  {block.because}"
    yield t(words.FILL_IN)
    for word, asked in block.asked.items():
        kind = f"{asked.kind}, {asked.unit}" if asked.unit else asked.kind
        written = block.document.root.values["fill_in"]
        parts = plain(written)[word]
        otherwise = parts.get("otherwise")
        yield t(
            words.ASKED,
            word=word,
            kind=kind,
            says=asked.says,
            may=asked.may_lack or otherwise is not None,
        )
    yield t(words.STEPS)
    for step in plain(block.document.root.values["steps"]):
        yield f"    {step.get('id')}: {step.get('title')}"
