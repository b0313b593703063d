"""The command for recalls and tools that were found out: whom to call, and how far it came."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from twoturns.cli.parts import data_option, open_store, plain, refuses_in_words, require_new
from twoturns.store.follow_up import Matter, matters, rows_of, vehicles
from twoturns.store.store import Store
from twoturns.trade.csv_text import csv_text
from twoturns.trade.spelling import lot_key, tool_key
from twoturns.words import t
from twoturns.words.en.cli import recall as words

PAGE = 100


@click.command()
@click.argument("name", required=False)
@data_option
@click.option(
    "--csv",
    "out",
    type=click.Path(dir_okay=False, path_type=Path),
    help="The file to write the table to; it must not be there yet. It holds names.",
)
@refuses_in_words
def recall(name: str | None, data: Path, out: Path | None) -> None:
    """
    List recalls and tools that were found out; of NAME, a lot or a tool, every vehicle.

    NAME is taken in any spelling. What was done for a vehicle is written down at the desk.

    Example:

    \b
        twoturns recall
        twoturns recall NH-24-0917 --csv recall.csv
    """
    if out is not None:
        require_new(out)
    store = open_store(data, needs_key=False)
    found = [one for one in matters(store) if name is None or _is_named(one, name)]
    if not found:
        click.echo(t(words.NONE) if name is None else t(words.NONE_OF, name=plain(name)))
        return
    rows = {one.of: [*_all(store, one)] for one in found}
    for one in found:
        _tell(one, rows[one.of], is_whole=name is not None)
    if out is not None:
        table = rows_of([row for one in found for row in rows[one.of]])
        out.write_bytes(csv_text(table).encode())
        click.echo(t(words.WRITTEN, out=str(out), n=len(table) - 1))


def _is_named(about: Matter, name: str) -> bool:
    key = lot_key if about.kind == "lot" else tool_key
    return key(about.name) == key(name)


def _all(store: Store, about: Matter) -> Iterator[dict[str, Any]]:
    after: str | None = None
    while True:
        found, after = vehicles(store, about, after, PAGE)
        yield from found
        if after is None:
            return


def _tell(about: Matter, found: list[dict[str, Any]], *, is_whole: bool) -> None:
    said = words.LOT if about.kind == "lot" else words.TOOL
    left = sum(not one["is_done"] for one in found)
    until = "" if about.until is None else about.until
    click.echo(
        t(
            said,
            name=plain(about.name),
            on=about.on,
            n=len(found),
            left=left,
            dated=until != "",
            until=until,
        )
    )
    for one in found if is_whole else ():
        last = one["followed"][-1]["how"] if one["followed"] else ""
        told = [one["plate"] or one["job"], one["customer"] or "", one["phone"] or "", last]
        state = t(words.DONE) if one["is_done"] else t(words.TO_DO)
        click.echo("  " + "  ".join(plain(each) for each in (state, *told) if each))
