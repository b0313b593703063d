"""`twoturns procedure`: what an author of a procedure asks of it."""

from pathlib import Path

import click


@click.group()
def procedure() -> None:
    """Check a procedure, or publish it for work."""


folder_argument = click.argument(
    "path", type=click.Path(exists=True, file_okay=False, path_type=Path)
)

workshop_option = click.option(
    "--data",
    type=click.Path(file_okay=False, path_type=Path),
    envvar="TWOTURNS_DATA",
    help="A workshop's folder: its own word holds where it takes a house rule otherwise.",
)
