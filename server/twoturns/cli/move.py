"""The command that moves a workshop to a server, to an object store, and back."""

from collections.abc import Mapping
from pathlib import Path

import click

from twoturns.cli.parts import data_option, refuses_in_words
from twoturns.store.move import LedgerMove, Mover, PhotosMove, Progress, moving
from twoturns.words import t
from twoturns.words.en.cli import move as words

_OF_PHOTOS = ("dir:", "s3+http:", "s3+https:")


@click.command()
@data_option
@click.option(
    "--from",
    "old",
    metavar="URL",
    help="Where its ledger lies now, if how to reach that (a password) is not known otherwise.",
)
@click.option(
    "--to",
    "new",
    metavar="URL",
    multiple=True,
    required=True,
    help="Where to: sqlite: or postgresql://... for the ledger; dir:, dir:/a/folder or "
    "s3+https://... for the photos. Both at once, given twice.",
)
@click.option("--dry-run", is_flag=True, help="Say what would be done, and do nothing.")
@refuses_in_words
def move(data: Path, old: str | None, new: tuple[str, ...], *, dry_run: bool) -> None:
    """
    Move a workshop: its ledger to another engine, its photos to another place, and back.

    All records and photos are compared as they arrive, and the root of the ledger at the end; only
    then does the folder name the new place. Broken off, the workshop is where it was, and the same
    command goes on. Nobody may have it open meanwhile: stop twoturns serve. The old place stays as
    it is, until you remove it; where that is a server, a note stays there (a fence), and who still
    asks there is refused. It prints what went along, and what stayed.

    Example:

    \b
        twoturns move --to postgresql://twoturns@db.example/twoturns --dry-run
        twoturns move --to s3+https://photos.example/twoturns
        twoturns move --to sqlite: --to dir:
    """
    photos = [url for url in new if url.startswith(_OF_PHOTOS)]
    ledgers = [url for url in new if url not in photos]
    if len(photos) > 1 or len(ledgers) > 1:
        raise click.UsageError(t(words.ONE_OF_EACH))
    with moving(data, old) as mover:
        damaged = [blob for url in photos for blob in _photos(mover, url, dry_run=dry_run)]
        for url in ledgers:
            _ledger(mover, url, dry_run=dry_run)
    if damaged:
        listed = "".join(f"\n    {blob}" for blob in damaged)
        raise click.ClickException(t(words.BLOBS_DAMAGED, n=len(damaged), listed=listed))


def _photos(mover: Mover, url: str, *, dry_run: bool) -> tuple[str, ...]:
    said = mover.look_at_photos(url) if dry_run else mover.move_photos(url, _tell(words.BLOBS_AT))
    _say(said, said.blobs, words.PHOTOS_WOULD if dry_run else words.PHOTOS_MOVED)
    if said.new != said.old:
        click.echo(t(words.PHOTOS_STAY, is_done=not dry_run))
        if said.is_fenced:
            click.echo(t(words.PHOTOS_FENCE, is_done=not dry_run))
    return said.damaged


def _ledger(mover: Mover, url: str, *, dry_run: bool) -> None:
    said = mover.look_at_ledger(url) if dry_run else mover.move_ledger(url, _tell(words.RECORDS_AT))
    _say(said, said.size, words.LEDGER_WOULD if dry_run else words.LEDGER_MOVED)
    if said.new != said.old:
        click.echo(_along(said.along, is_done=not dry_run))
        if said.is_fenced:
            click.echo(t(words.FENCE, old=said.old, is_done=not dry_run))
    click.echo(t(words.ROOT, root=said.root.hex()))


def _along(rows: Mapping[str, int], *, is_done: bool) -> str:
    return t(
        words.ALONG,
        is_done=is_done,
        contacts=rows["contacts"],
        allowances=rows["allowances"],
        nonces=rows["nonces"],
        checked=rows["checked"],
        slices=rows["slices"],
    )


def _say(said: LedgerMove | PhotosMove, count: int, sentence: str) -> None:
    if said.new == said.old:
        click.echo(t(words.THERE_ALREADY, where=said.new))
    else:
        told = t(sentence, old=said.old, new=said.new, n=count, there=said.there)
        click.echo(told)


def _tell(sentence: str) -> Progress:
    return lambda done, of: click.echo(t(sentence, done=done, of=of), err=True)
