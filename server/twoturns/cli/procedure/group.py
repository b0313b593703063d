"""`twoturns procedure`: what an author of a procedure asks of it."""

from importlib import import_module
from pathlib import Path

import click

from twoturns.cli.parts import data_if_any

COMMANDS = ("blocks", "check", "diff", "new", "preview", "publish")


class Commands(click.Group):
    """A module a command, loaded when the command is asked for: `preview` needs the whole web."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name in COMMANDS:
            import_module(f"twoturns.cli.procedure.{cmd_name}")
        return super().get_command(ctx, cmd_name)


@click.group(cls=Commands)
def procedure() -> None:
    """Check a procedure, or publish it for work."""


folder_argument = click.argument(
    "path", type=click.Path(exists=True, file_okay=False, path_type=Path)
)

workshop_option = data_if_any(
    help="A workshop's folder: its own word holds where it takes a house rule otherwise."
)
