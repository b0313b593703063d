"""`twoturns procedure new`: the beginning of a procedure, for its author to go on with."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar

import click

from twoturns.cli.parts import refuses_in_words
from twoturns.cli.procedure.group import procedure
from twoturns.ledger.forms import NAME, is_formed
from twoturns.procedure.blocks.block import Block
from twoturns.procedure.blocks.library import library
from twoturns.procedure.compile.bundle import SOURCE_NAME
from twoturns.procedure.compile.skeleton import Belt, WheelAt, read_belt, read_wheel, skeleton
from twoturns.procedure.errors import nearest
from twoturns.words import t
from twoturns.words.en.cli.procedure import new as words

Read = TypeVar("Read")


@procedure.command()
@click.argument("path", type=click.Path(path_type=Path))
@click.option("--engine", help="The engine's code, such as PL-8. Asked for, if not given.")
@click.option("--belt", help="Teeth and pitch in mm, such as 96x8. Asked for, if not given.")
@click.option(
    "--wheel",
    "wheels",
    multiple=True,
    help="NAME:X,Y:20t, :60mm, :60mm:throw8; the crankshaft's first, as the belt runs.",
)
@click.option(
    "--block",
    "blocks",
    multiple=True,
    help="What is the same on every car, filled in by you: `twoturns procedure blocks` lists them.",
)
@click.option("--anticlockwise", is_flag=True, help="How the crankshaft turns, seen from the belt.")
@refuses_in_words
def new(
    path: Path,
    engine: str | None,
    belt: str | None,
    wheels: tuple[str, ...],
    blocks: tuple[str, ...],
    anticlockwise: bool,
) -> None:
    """
    Begin a procedure in the new folder PATH: its head, its drive, and its first two steps or the
    blocks that are the same on every car.

    What is not given is asked for. Wheels are measured in mm from the middle of the crankshaft, x
    to the right and y up, seen from the belt: NAME:X,Y:SIZE, SIZE being teeth (20t) or the diameter
    of a smooth one (60mm), which runs on the belt's back unless `:in` follows; `:throw8` makes it
    the tensioner, turning about the stud at X,Y with a throw of 8 mm. What `check` says then is
    what is to be filled in. The steps of blocks stand in the order of the work.

    Example:

    \b
        twoturns procedure new stand_drive --engine PL-8 --belt 96x8 \\
            --wheel crank:0,0:20t --wheel tensioner:-34,130:60mm:throw8 --wheel cam:10,260:40t
    """
    if path.exists():
        raise click.UsageError(t(words.FOLDER_EXISTS, path=str(path)))
    if not is_formed(path.name, NAME):
        raise click.UsageError(t(words.NO_NAME, name=path.name))
    engine = engine or click.prompt(t(words.ENGINE))
    given = _read(read_belt, belt or click.prompt(t(words.BELT)))
    stand = [_read(read_wheel, wheel) for wheel in wheels or _asked_wheels()]
    chosen = _chosen(blocks if blocks or wheels else _asked_blocks())
    source = _written(path.name, engine, given, stand, chosen, clockwise=not anticlockwise)
    path.mkdir(parents=True)
    (path / SOURCE_NAME).write_text(source, encoding="utf-8")
    click.echo(t(words.BEGUN, file=str(path / SOURCE_NAME), path=str(path)))


def _asked_wheels() -> list[str]:
    click.echo(t(words.WHEELS))
    wheels: list[str] = []
    while wheel := click.prompt(t(words.WHEEL, n=len(wheels) + 1), default="", show_default=False):
        wheels.append(wheel)
    return wheels


def _asked_blocks() -> list[str]:
    for name, block in library().items():
        click.echo(f"  {name}: {block.name}")
    return str(click.prompt(t(words.BLOCKS), default="", show_default=False)).split()


def _chosen(names: Sequence[str]) -> list[Block]:
    for name in names:
        if name not in library():
            hint = nearest(name, library())
            raise click.UsageError(f"{t(words.NO_SUCH_BLOCK, name=name)}\n{hint}")
    return [library()[name] for name in names]


def _read(read: Callable[[str], Read], text: str) -> Read:
    try:
        return read(text)
    except ValueError as error:
        raise click.UsageError(str(error)) from error


def _written(
    name: str,
    engine: str,
    belt: Belt,
    wheels: list[WheelAt],
    blocks: list[Block],
    *,
    clockwise: bool,
) -> str:
    try:
        return skeleton(name, engine, belt, wheels, blocks, clockwise=clockwise)
    except ValueError as error:  # a drive's faults are, too
        hint = getattr(error, "hint", "")
        raise click.ClickException(f"{error}\n{hint}".strip()) from error
