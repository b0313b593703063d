"""The command `demo`: a workshop to try, with a link for each of its people."""

import getpass
import os
import tempfile
from datetime import timedelta
from pathlib import Path

import click

from twoturns.cli.parts import new_person, now, refuses_in_words
from twoturns.demo.workshop import open_demo, persons
from twoturns.ledger.roster import invitation_text
from twoturns.store import Store
from twoturns.store.errors import NotAWorkshop
from twoturns.store.invite import invite
from twoturns.web.serve import require_free, serve

PORT = 8438  # not the workshop's own: a browser keeps to one workshop at an address
LIFE = timedelta(days=1)
_TRY = {
    "mechanic": "open the job that is halfway: a question of the owner's stands first, and the "
    "next key is the pointer. Then open a job of your own.",
    "owner": "see what needs eyes first: one job waits with a redo and a passed rule.",
    "auditor": "find plate TBR 0412, trace it, take its evidence away, and check the file with "
    "twoturns verify.",
}


@click.command()
@click.option(
    "--data",
    type=click.Path(file_okay=False, path_type=Path),
    help="The demo's folder; without it one below the system's temporary folder.",
)
@click.option(
    "--port",
    type=click.IntRange(1, 65_535),
    default=PORT,
    show_default=True,
    help="The port to serve at.",
)
@click.option("--no-serve", is_flag=True, help="Make the demo and print its links, no more.")
@refuses_in_words
def demo(data: Path | None, port: int, no_serve: bool) -> None:
    """
    Make a demo workshop, or go on with one, and serve it until Ctrl-C.

    Prints one link each for a mechanic, the owner and an auditor. A link lets one browser in,
    once: open each in a browser profile or private window of its own.

    Example:

    \b
        twoturns demo
    """
    if not no_serve:
        require_free("127.0.0.1", port)
    folder = data or _own_temporary_folder()
    store = open_demo(folder, now(), new_person)
    name = store.ledger.workshop
    click.echo(f"{store.name}, a demo in {folder}. The app asks to compare this fingerprint:\n")
    click.echo(f"    {' '.join(name[n : n + 4] for n in range(0, len(name), 4))}\n")
    for called, link in _links(store, port):
        click.echo(f"{called}: {_TRY[called]}\n\n    {link}\n")
    if not no_serve:
        serve(folder, host="127.0.0.1", port=port, host_names=["127.0.0.1"])


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
            f"{folder} belongs to somebody else", hint="Name a folder of your own with --data."
        )
    return folder
