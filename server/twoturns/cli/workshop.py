"""The commands for a workshop as a whole: make it, list its jobs, compute its views anew."""

import json
from pathlib import Path

import click

from twoturns.cli.filling import fill_desk
from twoturns.cli.key import print_paper
from twoturns.cli.parts import (
    data_of_all,
    data_option,
    now,
    open_store,
    photos_option,
    plain,
    refuses_in_words,
    tell_of_views,
)
from twoturns.ledger import recovery
from twoturns.ledger.instants import instant
from twoturns.store import Store
from twoturns.store.installation import Installation
from twoturns.words import t
from twoturns.words.en.cli import workshop as words


@click.command()
@data_of_all
@click.option(
    "--workshop",
    metavar="HOST",
    help="Make it one of an installation's many, which phones ask at this host name.",
)
@click.option("--name", required=True, help="The workshop's name, as phones show it.")
@photos_option
@refuses_in_words
def init(data: Path, workshop: str | None, name: str, photos: str | None) -> None:
    """
    Make a workshop: its folder, its key, its first record.

    With --workshop the folder is an installation's, which is made with its first workshop. Those
    of one installation are strangers to each other.

    Example:

    \b
        twoturns init --name "Workshop at the Weir"
        twoturns init --data /srv/chain --workshop north.example --name "North"
    """
    if workshop is not None:
        installation = Installation(data)
        data = installation.place(workshop)
        installation.make()
    secret = recovery.generate()
    paper = recovery.signing_key(secret).thumbprint
    store = Store.create(data, name, now(), recovery=paper, photos=photos)
    click.echo(t(words.WORKSHOP_MADE, data=str(data)))
    click.echo(f"    {store.ledger.workshop}\n")
    click.echo(t(words.RECOVERY_KEY_SHOWN_ONCE))
    print_paper(secret)
    click.echo(t(words.LOCK_RECOVERY_KEY_UP))
    click.echo(t(words.KEEP_KEY_COPY, data=str(data / "workshop.key")))
    click.echo(t(words.THEN_ENROL_OWNER, named=f" --workshop {data.name}" if workshop else ""))


@click.command()
@data_option
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line.")
@refuses_in_words
def jobs(data: Path, as_json: bool) -> None:
    """
    List the jobs, the last one heard of first.

    Example:

    \b
        twoturns jobs
    """
    for row in open_store(data).views.jobs():
        if as_json:
            click.echo(json.dumps(row))
            continue
        state = "open" if row["closed"] is None else "closed"
        vehicle = row["plate"] or row["vin"] or t(words.NO_PLATE)
        click.echo(
            f"{row['job']}  {state:6}  {plain(vehicle):12}  {plain(row['engine_code'] or '-'):12}"
            f"  {row['entries']:4} entries  {instant(row['last_received'])}"
        )


@click.command()
@data_option
@refuses_in_words
def rebuild(data: Path) -> None:
    """
    Compute all views anew from the records and the blobs. Exits 1 if a blob is missing.

    Example:

    \b
        twoturns rebuild
    """
    store = open_store(data)
    missing = store.rebuild(tell_of_views)
    fill_desk(store)
    click.echo(t(words.CHECKED, data=str(data), size=store.ledger.size()))
    if missing:
        listed = "".join(f"\n    {blob}" for blob in missing)
        raise click.ClickException(t(words.BLOBS_MISSING, missing=len(missing), listed=listed))
