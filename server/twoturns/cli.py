"""
The command line. Exit codes: 0 done, 1 a finding or a refusal, 2 a wrong use.

Every command that works on a workshop takes `--data` (or TWOTURNS_DATA), its folder.
"""

import io
import ipaddress
import json
import sys
from datetime import timedelta
from pathlib import Path
from typing import Any

import click
import segno

from twoturns import __version__
from twoturns.cli_backup import accept_loss, backup, restore
from twoturns.cli_calc import calc
from twoturns.cli_demo import demo
from twoturns.cli_devices import accept, admit, held, refuse, revoke, shut
from twoturns.cli_erase import erase
from twoturns.cli_evidence import export, verify
from twoturns.cli_import import import_file
from twoturns.cli_key import key, print_paper
from twoturns.cli_parts import (
    PORT,
    InWords,
    data_option,
    new_person,
    now,
    open_store,
    open_to_write,
    plain,
    refuses_in_words,
)
from twoturns.cli_procedure import procedure
from twoturns.cli_scope import scope_of, scope_options
from twoturns.cli_scrub import scrub
from twoturns.ledger import recovery
from twoturns.ledger.roster import invitation_text
from twoturns.store import Store, events
from twoturns.store.invite import invite
from twoturns.web.origin import Network


@click.group(cls=InWords, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="twoturns")
def main() -> None:
    """Two Turns: evidence and order of work for the timing-belt job."""
    events.listen(to_stderr=False)


@main.command()
@data_option
@click.option("--name", required=True, help="The workshop's name, as phones show it.")
@refuses_in_words
def init(data: Path, name: str) -> None:
    """
    Make a workshop: its folder, its key, its first record.

    Example:

    \b
        twoturns init --name "Workshop at the Weir"
    """
    secret = recovery.generate()
    store = Store.create(data, name, now(), recovery=recovery.signing_key(secret).thumbprint)
    click.echo(f"{data}: made. The workshop's fingerprint, to be printed on paper:\n")
    click.echo(f"    {store.ledger.workshop}\n")
    click.echo("Its recovery key, for a paper of its own; it is kept nowhere else, and shown once:")
    print_paper(secret)
    click.echo("Whoever has it can take the workshop over: keep it locked up, away from here.")
    click.echo(f"Keep a copy of {data / 'workshop.key'} apart: backups do not hold it.")
    click.echo("Then: twoturns enrol --role owner --name NAME")


@main.command()
@data_option
@click.option(
    "--host",
    default="127.0.0.1",
    show_default=True,
    callback=lambda _, __, host: _address(host),
    help="The address to listen on.",
)
@click.option(
    "--port",
    type=click.IntRange(1, 65_535),
    default=PORT,
    show_default=True,
    help="Never change it: phones keep to it.",
)
@click.option(
    "--host-name",
    "host_names",
    multiple=True,
    help="A name phones call this server by, if not localhost. May be given several times.",
)
@click.option(
    "--proxy",
    "proxies",
    multiple=True,
    metavar="ADDRESS",
    callback=lambda _, __, given: [_network(one) for one in given],
    help="The address, or network, of a proxy in front, whose X-Forwarded-For or Forwarded is "
    "believed. May be given several times.",
)
@refuses_in_words
def serve(
    data: Path, host: str, port: int, host_names: tuple[str, ...], proxies: list[Network]
) -> None:
    """
    Serve the workshop to phones and desks, until Ctrl-C.

    Phones need HTTPS, or localhost: put a reverse proxy with a certificate in front.

    Example:

    \b
        twoturns serve --host-name workshop.example --proxy 127.0.0.1
    """
    from twoturns.web.serve import require_free
    from twoturns.web.serve import serve as serve_app

    store = open_store(data)
    store.look_over()
    require_free(host, port)
    called = f"[{host}]" if ":" in host else host
    click.echo(f"{store.name} at http://{'localhost' if host == '127.0.0.1' else called}:{port}")
    serve_app(data, host=host, port=port, host_names=[called, *host_names], proxies=proxies)


@main.command()
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
    default=f"http://localhost:{PORT}",
    show_default=True,
    help="The address phones use.",
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
    base_url: str,
    qr: bool | None,
    **limits: Any,  # noqa: ANN401 - `scope_options`
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
    link = f"{base_url.rstrip('/')}/#invite={text}"
    click.echo(link)
    if sys.stdout.isatty() if qr is None else qr:
        # The link is long: with more error correction the code would not fit on a small terminal.
        drawn = io.StringIO()
        segno.make_qr(link, error="L", boost_error=False).terminal(drawn, compact=True)
        click.echo(drawn.getvalue())
    click.echo(
        f"Good for one device, for {minutes} minutes. Whoever has the link gets in.", err=True
    )


@main.command()
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
        vehicle = row["plate"] or row["vin"] or "no plate yet"
        click.echo(
            f"{row['job']}  {state:6}  {plain(vehicle):12}  {plain(row['engine_code'] or '-'):12}"
            f"  {row['entries']:4} entries  {row['last_received']}"
        )


@main.command()
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
    missing = store.rebuild()
    click.echo(f"{data}: {store.ledger.size()} records hold, views computed anew.")
    if missing:
        listed = "".join(f"\n    {blob}" for blob in missing)
        raise click.ClickException(
            f"{len(missing)} blobs are kept by the ledger and missing on the disk:{listed}\n"
            "Put them back from a backup: twoturns scrub --from BACKUP. Phones that still have "
            "one of them send it again by themselves."
        )


def _address(host: str) -> str:
    try:
        return str(ipaddress.ip_address(host))
    except ValueError as error:
        raise click.BadParameter(f"{host!r} is no address, as 127.0.0.1 or 0.0.0.0") from error


def _network(text: str) -> Network:
    try:
        return ipaddress.ip_network(text, strict=False)
    except ValueError as error:
        raise click.BadParameter(f"{text!r} is no address, as 127.0.0.1 or 10.0.0.0/8") from error


main.add_command(accept_loss)
main.add_command(backup)
main.add_command(calc)
main.add_command(demo)
main.add_command(erase)
for command in (revoke, admit, held, accept, refuse, shut):
    main.add_command(command)
main.add_command(export)
main.add_command(import_file)
main.add_command(key)
main.add_command(procedure)
main.add_command(restore)
main.add_command(scrub)
main.add_command(verify)
