"""The command `serve`: the workshop, answering phones and desks."""

import ipaddress
from pathlib import Path

import click

from twoturns.cli.filling import fill_desk
from twoturns.cli.parts import PORT, at_port, data_of_all, open_store, refuses_in_words
from twoturns.store.installation import Installation, host_of
from twoturns.web.origin import Network
from twoturns.web.serve import require_free
from twoturns.web.serve import serve as serve_app
from twoturns.words import t
from twoturns.words.en.cli import serve as words


def _address(host: str) -> str:
    try:
        return str(ipaddress.ip_address(host))
    except ValueError as error:
        raise click.BadParameter(t(words.NOT_AN_ADDRESS, host=f"{host!r}")) from error


def _network(text: str) -> Network:
    try:
        return ipaddress.ip_network(text, strict=False)
    except ValueError as error:
        raise click.BadParameter(t(words.NOT_A_NETWORK, text=f"{text!r}")) from error


@click.command()
@data_of_all
@click.option(
    "--workshop",
    "workshops",
    multiple=True,
    metavar="HOST",
    help="Of an installation: serve these alone. May be given several times.",
)
@click.option(
    "--host",
    default="127.0.0.1",
    show_default=True,
    callback=lambda _, __, host: _address(host),
    help="The address to listen on.",
)
@at_port(PORT, help="Never change it: phones keep to it.")
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
    data: Path,
    workshops: tuple[str, ...],
    host: str,
    port: int,
    host_names: tuple[str, ...],
    proxies: list[Network],
) -> None:
    """
    Serve the workshop to phones and desks, until Ctrl-C.

    Phones need HTTPS, or localhost: put a reverse proxy with a certificate in front. Of an
    installation every workshop is served at its own host name, a new one as soon as it is made;
    each is opened when it is first asked for. Any number of these may serve the same folder.

    Example:

    \b
        twoturns serve --host-name workshop.example --proxy 127.0.0.1
        twoturns serve --data /srv/chain --proxy 127.0.0.1
    """
    installation = Installation(data)
    if not installation.is_one and not workshops:
        _serve_one(data, host, port, host_names, proxies)
        return
    if host_names:
        raise click.UsageError(t(words.NAMES_ARE_FOLDERS))
    for name in workshops:
        if not installation.place(name).is_dir():
            raise click.UsageError(t(words.NO_SUCH_WORKSHOP, name=name, data=str(data)))
    require_free(host, port)
    served = [host_of(name) for name in workshops]
    n = len(served or installation.names)
    click.echo(t(words.MANY_SERVED_AT, n=n, host=_called(host), port=port))
    serve_app(data, host=host, port=port, host_names=served, proxies=proxies)


def _called(host: str) -> str:
    return f"[{host}]" if ":" in host else host


def _serve_one(
    data: Path, host: str, port: int, host_names: tuple[str, ...], proxies: list[Network]
) -> None:
    store = open_store(data)
    store.look_over()
    require_free(host, port)
    fill_desk(store)
    called = _called(host)
    click.echo(
        t(
            words.SERVED_AT,
            store_name=store.name,
            host="localhost" if host == "127.0.0.1" else called,
            port=port,
        )
    )
    serve_app(data, host=host, port=port, host_names=[called, *host_names], proxies=proxies)
