"""The command `doctor`: whether a workshop is well, and what to do where it is not."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from itertools import groupby
from operator import itemgetter
from pathlib import Path
from typing import TYPE_CHECKING

import click

from twoturns.cli.address_check import check_address
from twoturns.cli.parts import data_of_all, now, open_store, plain, refuses_in_words
from twoturns.ledger.errors import LedgerError
from twoturns.store.doctor import Finding, examine
from twoturns.store.errors import StoreError
from twoturns.store.installation import Installation, folder_of
from twoturns.words import t
from twoturns.words.en.cli import doctor as words

if TYPE_CHECKING:
    from twoturns.store import Store


@click.command()
@data_of_all
@click.option("--workshop", metavar="HOST", help="Of an installation: this one alone.")
@click.option(
    "--url",
    help="The address that phones use: its certificate, and who answers there. Of an "
    "installation's workshops `https`, for each at its host name.",
)
@click.option("--json", "as_json", is_flag=True, help="Findings as JSON, one a line, for programs.")
@refuses_in_words
def doctor(data: Path, workshop: str | None, url: str | None, as_json: bool) -> None:
    """
    Look whether the workshop is well: key file, disk, clock, backup, photos, phones, address.

    Each matter is a line, and where something is to be done the next line says what. Exits 1 if
    something is bad. Changes nothing; let a timer run it daily. Of an installation every workshop
    is looked at, and whether they are strangers to each other; of those that are well one line
    says so (each matter with --workshop or --json).

    Example:

    \b
        twoturns doctor --url https://workshop.example
        twoturns doctor --data /srv/chain --url https
    """
    is_bad = False
    is_brief = workshop is None and not as_json and Installation(data).is_one
    for name, all_found in groupby(_found(data, workshop, url), itemgetter(0)):
        found = [one for _, one in all_found]
        is_bad |= any(one.level == "bad" for one in found)
        for one in _brief(found) if is_brief and name else found:
            click.echo(_as_json(name, one) if as_json else _line(name, one))
    if is_bad:
        raise SystemExit(1)


def _brief(found: list[Finding]) -> list[Finding]:
    """Return what is to be done of one of many workshops; or that nothing is."""
    to_do = [one for one in found if one.level != "good"]
    return to_do or [Finding("well", "good", t(words.WELL, n=len(found)))]


def _found(data: Path, workshop: str | None, url: str | None) -> Iterator[tuple[str, Finding]]:
    """Yield what is found, each with the name of its workshop: empty of one that stands alone."""
    installation = Installation(data)
    if not installation.is_one:
        yield from (("", one) for one in _of_one(open_store(data, needs_key=False), url))
        return
    ids: dict[str, dict[Path, str]] = {}
    for name in installation.names if workshop is None else [installation.place(workshop).name]:
        address = f"https://{name}" if url == "https" else url
        try:
            store = open_store(folder_of(data, name), needs_key=False)
            ids.setdefault(store.ledger.workshop, {})[store.folder] = name
            yield from ((name, one) for one in _of_one(store, address))
        except (StoreError, LedgerError, OSError) as error:  # the others are looked at all the same
            yield name, Finding("unopened", "bad", t(words.UNOPENED, why=str(error)))
    if workshop is None:
        yield from (("", one) for one in _of_all(installation, ids))


def _of_one(store: Store, url: str | None) -> Iterator[Finding]:
    yield from examine(store, now())
    if url:
        yield from check_address(url, store.ledger.workshop, now())


def _of_all(installation: Installation, ids: Mapping[str, Mapping[Path, str]]) -> Iterator[Finding]:
    """`ids`: of each workshop the folders in which it lies; a second name for one is no folder."""
    for path in installation.strays:
        yield Finding("stray", "look", t(words.STRAY, path=str(path)))
    twins = [sorted(folders.values()) for folders in ids.values() if len(folders) > 1]
    for names in twins:
        yield Finding("twins", "bad", t(words.TWINS, names=", ".join(names)))
    if not twins:
        yield Finding("strangers", "good", t(words.STRANGERS, n=len(ids)))


def _as_json(name: str, one: Finding) -> str:
    whose = {"workshop": name} if name else {}
    return json.dumps({**whose, **asdict(one), "hint": one.hint})


def _line(name: str, one: Finding) -> str:
    whose = f"{name}: " if name else ""
    said = plain(f"{t(words.LEVELS[one.level])}  {whose}{one.says}")
    return f"{said}\n      {one.hint}" if one.hint else said
