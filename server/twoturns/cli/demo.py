"""The command `demo`: a workshop to try, with a link for each of its people."""

import getpass
import os
import secrets
import tempfile
from datetime import timedelta
from pathlib import Path

import click

from twoturns.cli.parts import at_port, new_person, now, refuses_in_words
from twoturns.demo.workshop import open_demo, persons
from twoturns.ledger.roster import invitation_text
from twoturns.store import Store
from twoturns.store.errors import NotAWorkshop
from twoturns.store.invite import invite
from twoturns.web.doors import AT, Doors
from twoturns.web.serve import require_free, serve
from twoturns.words import t
from twoturns.words.en.cli import demo as words

PORT = 8438  # not the workshop's own: a browser keeps to one workshop at an address
LIFE = timedelta(days=1)


@click.command()
@click.option(
    "--data",
    type=click.Path(file_okay=False, path_type=Path),
    help="The demo's folder; without it one below the system's temporary folder.",
)
@at_port(PORT, help="The port to serve at.")
@click.option("--no-serve", is_flag=True, help="Make the demo and print its links, no more.")
@refuses_in_words
def demo(data: Path | None, port: int, no_serve: bool) -> None:
    """
    Make a demo workshop, or go on with one, and serve it until Ctrl-C.

    Prints the address of a page with three doors, for a mechanic, the owner and an auditor: open
    all of them in one browser. The page leads round, too, in two minutes. With --no-serve it prints
    one link each instead; each lets one browser in, once.

    Example:

    \b
        twoturns demo
    """
    if not no_serve:
        require_free(AT, port)
    folder = data or _own_temporary_folder()
    store = open_demo(folder, now(), new_person)
    name = store.ledger.workshop
    click.echo(t(words.DEMO_SERVED, store_name=store.name, folder=str(folder)))
    click.echo(f"    {' '.join(name[n : n + 4] for n in range(0, len(name), 4))}\n")
    if no_serve:
        for called, link in _links(store, port):
            click.echo(f"{called}: {t(words.WHAT_TO_TRY[called])}\n\n    {link}\n")
        return
    doors = _doors(store, port)
    click.echo(f"{t(words.THREE_DOORS)}\n\n    {doors.address}\n")
    serve(folder, host=AT, port=port, host_names=doors.host_names, doors=doors)


def _doors(store: Store, port: int) -> Doors:
    people = {one["role"]: (one["person"], one["name"]) for one in persons(store).values()}
    return Doors(secrets.token_hex(12), port, people)


def _links(store: Store, port: int) -> list[tuple[str, str]]:
    """Invite each of the demo's people anew."""
    until = now() + LIFE
    return [
        (
            one["role"],
            f"http://localhost:{port}/#invite="
            + invitation_text(
                invite(store, role=one["role"], person=one["person"], until=until, now=now())
            ),
        )
        for one in persons(store).values()
    ]


def _own_temporary_folder() -> Path:
    """Return a folder of this user's: what others put under that name is not served."""
    folder = Path(tempfile.gettempdir()) / f"two-turns-demo-{getpass.getuser()}"
    if folder.exists() and folder.stat().st_uid != os.getuid():
        raise NotAWorkshop(
            t(words.NOT_OURS, folder=str(folder)),
            hint=t(words.NOT_OURS_HINT),
        )
    return folder
