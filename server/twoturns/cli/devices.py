"""The commands for devices: take access away, rule on what came after that, shut out for good."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Literal

import click

from twoturns.cli.parts import (
    data_option,
    new_person,
    now,
    open_store,
    open_to_write,
    plain,
    refuses_in_words,
)
from twoturns.ledger.instants import instant
from twoturns.store import Store
from twoturns.store.rulings import rule
from twoturns.store.stored import stored
from twoturns.store.views import DeviceRow
from twoturns.words import t
from twoturns.words.en.cli import devices as words

because_option = click.option(
    "--because", required=True, help="Why, in clear: it stays in the ledger."
)


class _OfDevice(click.Command):
    """A command on a device. One thumbprint in 64 begins with a hyphen, and is no option."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Put what looks like one behind `--`, where no options are."""
        names = [one for one in args if "--" not in args and _HYPHENED.fullmatch(one)]
        others = [one for one in args if one not in names]
        return super().parse_args(ctx, [*others, "--", *names] if names else args)


_HYPHENED = re.compile(r"-[A-Za-z0-9_][A-Za-z0-9_-]+|--[A-Za-z0-9_-]{41}")


def _command(name: str) -> Callable[[Callable[..., None]], click.Command]:
    """Make a command that works on one device of a workshop and says why."""

    def made(act: Callable[..., None]) -> click.Command:
        given = because_option(refuses_in_words(act))
        return click.command(name, cls=_OfDevice)(data_option(click.argument("device")(given)))

    return made


@_command("revoke")
def revoke(data: Path, device: str, because: str) -> None:
    """
    Revoke a device: it reads nothing from now on; what it still sends is held back.

    DEVICE is its thumbprint, or the first characters of it.

    Example:

    \b
        twoturns revoke 7Ssz3viZ --because "lost on the A3"
    """
    store = open_to_write(data)
    found = _device(store, device)
    store.ledger.state("device.revoked", {"device": found.device, "because": because}, now())
    click.echo(t(words.REVOKED, device=found.device, role=found.role))


@_command("shut")
def shut(data: Path, device: str, because: str) -> None:
    """
    Shut a device out for good: revoked, and nothing more is taken from it.

    What was written on it can still come in by a file (twoturns import), as you decide.

    Example:

    \b
        twoturns shut 7Ssz3viZ --because "stolen, and sends what nobody wrote"
    """
    store = open_to_write(data)
    found = _device(store, device)
    said = {"device": found.device, "because": because}
    if not found.is_revoked:
        store.ledger.state("device.revoked", said, now())
    store.ledger.state("device.shut", said, now())
    click.echo(t(words.SHUT_OUT, device=found.device, role=found.role))


@click.command(cls=_OfDevice)
@click.argument("device")
@data_option
@click.option("--name", help="A person who has no device: made, named and admitted.")
@click.option("--person", help="A person of the workshop, by the id.")
@click.option("--nobody", is_flag=True, help="Admit nobody any more but whom it was enrolled for.")
@refuses_in_words
def admit(data: Path, device: str, name: str | None, person: str | None, nobody: bool) -> None:
    """
    Let a device speak for one person more, as a phone of the bay does; list for whom it speaks.

    It never speaks for a person of a higher role than the one it came in with.

    Example:

    \b
        twoturns admit 7Ssz3viZ --name "Cleo Moss"
    """
    store = open_to_write(data)
    found = _device(store, device)
    if name is not None:
        person = new_person()
        store.name_person(person, name, now())
    if person is not None or nobody:
        before = [] if nobody else store.views.persons_on(found.device)
        others = {*before, *([person] if person else [])} - {found.person}
        said = {"device": found.device, "persons": sorted(others)}
        store.ledger.state("device.serves", said, now())
    on_it = store.views.persons_on(found.device)
    click.echo(
        t(words.SPEAKS_FOR, device=found.device, role=found.role, on_it=", ".join(sorted(on_it)))
    )
    if person is not None and person not in on_it:
        raise click.ClickException(t(words.HIGHER_ROLE, person=person))


@click.command(cls=_OfDevice)
@click.argument("device", required=False)
@data_option
@refuses_in_words
def held(device: str | None, data: Path) -> None:
    """
    List what is held back of revoked devices; of DEVICE, every entry.

    Example:

    \b
        twoturns held
    """
    store = open_store(data)
    if device is not None:
        for row in store.views.held(_device(store, device).device):
            record = stored(row["index"], row["record"])
            said = record.entry
            click.echo(
                f"{said.id}  {instant(record.received)}  {plain(said.kind):18}  {said.job or '-'}"
            )
        return
    rows = store.views.held_devices()
    for row in rows:
        click.echo(
            t(
                words.HELD_SUMMARY,
                device=row["device"],
                entries=row["entries"],
                jobs=row["jobs"],
                bytes=row["bytes"],
                last_received=instant(row["last_received"]),
            )
        )
    if not rows:
        click.echo(t(words.NOTHING_HELD_BACK))


@_command("accept")
@click.option("--entry", "entries", multiple=True, help="These of it alone, held back or not.")
def accept(data: Path, device: str, because: str, entries: tuple[str, ...]) -> None:
    """
    Accept what is held back of a device: it counts as good, and all are given it.

    By its id any entry of the device is accepted, such as one that is forked.

    Example:

    \b
        twoturns accept 7Ssz3viZ --because "found again; looked through with Ada"
        twoturns accept 7Ssz3viZ --entry 3f9a...c2 --because "written before it was stolen"
    """
    _rule("work.accepted", data, device, because, entries)


@_command("refuse")
@click.option("--entry", "entries", multiple=True, help="Only these, by their ids.")
def refuse(data: Path, device: str, because: str, entries: tuple[str, ...]) -> None:
    """
    Refuse what is held back of a device: it stays in the ledger, and nobody is given it.

    Example:

    \b
        twoturns refuse 7Ssz3viZ --because "written after it was stolen"
    """
    _rule("work.refused", data, device, because, entries)


def _rule(
    kind: Literal["work.accepted", "work.refused"],
    data: Path,
    device: str,
    because: str,
    entries: tuple[str, ...],
) -> None:
    store = open_to_write(data)
    found = _device(store, device)
    ids = [row["id"] for row in store.views.held(found.device)]
    if kind == "work.accepted" and entries:
        ids = store.views.written_on(found.device, entries)
    if strange := set(entries).difference(ids):
        is_held = kind == "work.refused"
        raise click.ClickException(
            t(words.NOT_OF_DEVICE, strange=min(strange), held=is_held, device=device)
        )
    chosen = [one for one in ids if not entries or one in entries]
    if not chosen:
        raise click.ClickException(t(words.DEVICE_HOLDS_NOTHING, device=found.device))
    rule(store, kind, chosen, because, now())
    is_accepted = kind == "work.accepted"
    click.echo(t(words.RULED, n=len(chosen), device=found.device, accepted=is_accepted))


def _device(store: Store, start: str) -> DeviceRow:
    found = store.views.devices_like(start)
    if len(found) != 1:
        names = "".join(f"\n    {row.device}  {row.role}" for row in found or store.views.devices())
        says = words.SEVERAL_DEVICES if found else words.NO_DEVICE
        raise click.ClickException(t(says, start=f"{start!r}", names=names))
    return found[0]
