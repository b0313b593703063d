"""The command `enrol`: a link that lets one device of a person in."""

import io
import sys
from datetime import timedelta
from pathlib import Path
from typing import Any

import click
import segno

from twoturns.cli.parts import PORT, data_option, new_person, now, open_to_write, refuses_in_words
from twoturns.cli.scope import scope_of, scope_options
from twoturns.ledger.roster import invitation_text
from twoturns.store.installation import host_at
from twoturns.store.invite import invite
from twoturns.words import t
from twoturns.words.en.cli import enrol as words


@click.command()
@data_option
@click.option(
    "--role",
    required=True,
    type=click.Choice(["mechanic", "owner", "auditor"]),
    help="What the device may do: work, also review and run the workshop, or only look.",
)
@click.option("--name", required=True, help="The person's name; it can be erased later.")
@click.option(
    "--minutes",
    type=click.IntRange(1, 7 * 24 * 60),
    default=10,
    show_default=True,
    help="How long the invitation stands.",
)
@click.option(
    "--base-url",
    default=None,
    help="The address phones use: of an installation's workshop https and its host name, else "
    f"http://localhost:{PORT}, if not given.",
)
@click.option(
    "--qr/--no-qr",
    default=None,
    help="Print the link also as a code to be scanned. Usual where a terminal shows it.",
)
@scope_options
@refuses_in_words
def enrol(
    data: Path,
    role: str,
    name: str,
    minutes: int,
    base_url: str | None,
    qr: bool | None,
    **limits: Any,
) -> None:
    """
    Invite a person: print a link that lets one device in, once.

    An auditor sees every job for ever, or what --job, --from, --to, --value and --until-day allow.

    Example:

    \b
        twoturns enrol --role mechanic --name "Ada Weir" --base-url https://workshop.example
        twoturns enrol --role auditor --name "Cleo Moss" --from 2026-10-01 --until-day 2026-12-31
    """
    scope = scope_of(role, **limits)
    store, person = open_to_write(data), new_person()
    store.name_person(person, name, now())
    until = now() + timedelta(minutes=minutes)
    invitation = invite(store, role=role, person=person, until=until, now=now(), scope=scope)
    text = invitation_text(invitation)
    host = host_at(data)
    address = base_url or (f"https://{host}" if host else f"http://localhost:{PORT}")
    link = f"{address.rstrip('/')}/#invite={text}"
    click.echo(link)
    if sys.stdout.isatty() if qr is None else qr:
        # The link is long: with more error correction the code would not fit on a small terminal.
        drawn = io.StringIO()
        segno.make_qr(link, error="L", boost_error=False).terminal(drawn, compact=True)
        click.echo(drawn.getvalue())
    click.echo(t(words.LINK_LIFETIME, minutes=minutes), err=True)
