"""The commands `retention`: how long jobs are kept, and which are kept longer; none erases."""

from pathlib import Path

import click

from twoturns.cli.parts import data_option, now, open_store, open_to_write, plain, refuses_in_words
from twoturns.store.retention import FROM_THE_START, days_kept, kept_too_long
from twoturns.words import t
from twoturns.words.en.cli import retention as words

AT_MOST = 500


@click.group()
def retention() -> None:
    """How long jobs are kept, and which are kept longer: proposed, never erased by itself."""


@retention.command("set")
@click.argument("days", type=click.IntRange(min=1))
@data_option
@refuses_in_words
def set_days(days: int, data: Path) -> None:
    """
    State that jobs are kept for DAYS after something of them was heard last.

    Example:

    \b
        twoturns retention set 3650
    """
    open_to_write(data).ledger.state("retention.set", {"days": days}, now())
    click.echo(t(words.STATED, days=days))


@retention.command("due")
@data_option
@refuses_in_words
def due(data: Path) -> None:
    """
    List the jobs kept longer that still name a vehicle or a customer, the longest kept first.

    Example:

    \b
        twoturns retention due
    """
    store = open_store(data, needs_key=False)
    if (days := days_kept(store)) is None:
        raise click.ClickException(t(words.NEVER_SAID))
    rows = kept_too_long(store, now(), FROM_THE_START, AT_MOST)
    for row in rows:
        click.echo(
            plain(f"{row['last_received'][:10]}  {row['job']}  {row['plate'] or ''}".rstrip())
        )
    click.echo(t(words.KEPT_LONGER, n=len(rows), days=days, isAll=len(rows) < AT_MOST), err=True)
