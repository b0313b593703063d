"""`twoturns procedure preview`: what is being written, on a phone's real screens."""

import multiprocessing
import tempfile
from datetime import timedelta
from functools import partial
from pathlib import Path

import click

from twoturns.cli.parts import at_port, faults_told, new_person, now, refuses_in_words
from twoturns.cli.procedure.group import folder_argument, procedure
from twoturns.cli.procedure.watch import at_each_save
from twoturns.demo.rehearsal import Rehearsal, new_rehearsal
from twoturns.ledger.roster import invitation_text
from twoturns.procedure.compile.bundle import load
from twoturns.procedure.errors import ProcedureError, SourceErrors
from twoturns.store import Store
from twoturns.store.errors import StoreError
from twoturns.store.invite import invite
from twoturns.web.serve import require_free, serve
from twoturns.words import t
from twoturns.words.en.cli.procedure import preview as words

PORT = 8439  # neither a workshop's nor the demo's: a browser keeps to one workshop at an address
LIFE = timedelta(days=1)


@procedure.command()
@folder_argument
@click.option("--step", help="Where the job is to stand: a step's id. Without it, at its start.")
@at_port(PORT, help="The port to serve at.")
@refuses_in_words
def preview(path: Path, step: str | None, port: int) -> None:
    """
    Show the procedure in folder PATH on a phone's real screens, until Ctrl-C.

    It is served to this machine alone, by a workshop of its own that is thrown away after. Each
    time a file is saved, a new job by what was saved stands in the phone's list, done by a script
    up to --step. Whether it is proved does not matter here; see `check --watch`.

    Example:

    \b
        twoturns procedure preview pelling --step set_tension
    """
    load(path)  # what does not compile is told before anything is made
    require_free("127.0.0.1", port)
    with tempfile.TemporaryDirectory(prefix="two-turns-preview-") as below:
        folder, person = Path(below) / "workshop", new_person()
        store = new_rehearsal(folder, person, t(words.NAME), now())
        link = invitation_text(
            invite(store, role="mechanic", person=person, until=now() + LIFE, now=now())
        )
        click.echo(t(words.SERVED, link=f"http://localhost:{port}/#invite={link}"))
        # A process of its own, from its beginning: the server makes others of this one.
        showing = multiprocessing.get_context("spawn").Process(
            target=show_at_each_save, args=(path, folder, person, step), daemon=True
        )
        showing.start()
        serve(folder, host="127.0.0.1", port=port, host_names=["127.0.0.1"])
        showing.terminate()
        showing.join()


def show_at_each_save(path: Path, workshop: Path, person: str, step: str | None) -> None:
    """Show a folder's procedure now and at each save, until this process is ended."""
    rehearsal = Rehearsal(Store(workshop), person, now())
    at_each_save(path, partial(_show, rehearsal, path, step))


def _show(rehearsal: Rehearsal, path: Path, step: str | None) -> None:
    try:
        stands = rehearsal.show(load(path), new_person(), step, now())
    except SourceErrors as errors:
        click.echo(faults_told(errors), err=True)
    except (ProcedureError, StoreError) as error:
        click.echo(f"{error}\n{error.hint}", err=True)
    except ValueError as error:  # the script can do a step no more than a hand could
        click.echo(t(words.STOPPED, error=str(error), n=rehearsal.shown), err=True)
    else:
        click.echo(t(words.SHOWN, n=rehearsal.shown, step=stands or t(words.THE_END)))
