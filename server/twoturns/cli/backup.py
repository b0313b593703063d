"""The commands for the day when the folder is gone: `backup`, and `restore` from one."""

from pathlib import Path

import click

from twoturns.cli.parts import (
    data_of_all,
    data_option,
    now,
    open_store,
    photos_option,
    refuses_in_words,
)
from twoturns.ledger.instants import instant
from twoturns.store.accept_loss import accept
from twoturns.store.backup import GENERATIONS, back_up
from twoturns.store.installation import Installation, folder_of
from twoturns.store.restore import restore as put_back
from twoturns.words import t
from twoturns.words.en.cli import backup as words


@click.command()
@data_of_all
@click.option("--workshop", metavar="HOST", help="Of an installation: this one alone.")
@click.argument("target", type=click.Path(file_okay=False, path_type=Path))
@click.option(
    "--generations",
    type=click.IntRange(1, 1000),
    default=GENERATIONS,
    show_default=True,
    help="How many ledgers stay in the folder, this one counted; photos are there once.",
)
@click.option(
    "--read-all",
    "reads_all",
    is_flag=True,
    help="Read every photo that is there already, too, and copy anew what is damaged.",
)
@refuses_in_words
def backup(
    data: Path, workshop: str | None, target: Path, generations: int, reads_all: bool
) -> None:
    """
    Add the ledger as it is now to the backup folder TARGET, and the photos it lacks.

    Drafts of procedures, house.yaml, and when devices last signed in, lie beside it as they are
    now. A draft or house.yaml that cannot be read stops no backup: the copy of the backup before is
    kept, the file is named, and it exits 1.

    Refused before anything is replaced: another workshop's backup, one with more records, one
    that this ledger did not grow from, a ledger with a byte changed. The workshop's key is never
    in a backup.

    Of an installation each workshop has a folder of its own in TARGET, named as it is. One that
    cannot be backed up stops no other; it is named, and it exits 1.

    Example:

    \b
        twoturns backup /mnt/other-disk/weir
        twoturns backup /mnt/other-disk/chain --data /srv/chain
    """
    installation = Installation(data)
    names = installation.once(installation.names) if workshop is None else []
    if not names:
        _back_up(folder_of(data, workshop), target, generations, reads_all=reads_all)
        return
    target.mkdir(parents=True, exist_ok=True)
    bad = [name for name in names if not _is_backed_up(data, name, target, generations, reads_all)]
    if bad:
        raise click.ClickException(t(words.NOT_BACKED_UP, n=len(bad), names=", ".join(bad)))


def _is_backed_up(data: Path, name: str, target: Path, generations: int, reads_all: bool) -> bool:
    """Back up one of many, and say whether all of it is; what is wrong is told."""
    try:
        folder = folder_of(data, name)
        refuses_in_words(_back_up)(folder, target / name, generations, reads_all=reads_all)
    except click.ClickException as error:
        click.echo(f"{name}: {error.format_message()}", err=True)
        return False
    return True


def _back_up(data: Path, target: Path, generations: int, *, reads_all: bool) -> None:
    made = back_up(open_store(data), target, now(), generations=generations, reads_all=reads_all)
    click.echo(t(words.BACKED_UP, target=str(target), size=made.size))
    click.echo(t(words.NOT_IN_IT))
    told = [
        t(sentence, listed="".join(f"\n    {path}" for path in paths))
        for sentence, paths in (
            (words.OLDER_LEDGERS_DAMAGED, made.damaged),
            (words.FILES_UNREAD, made.unread),
        )
        if paths
    ]
    if told:
        raise click.ClickException("\n".join(told))


@click.command()
@click.argument("backup", type=click.Path(exists=True, file_okay=False, path_type=Path))
@data_option
@click.option(
    "--size",
    type=click.IntRange(1),
    help="Which of the ledgers in the backup, by its number of records. The newest, if not given.",
)
@photos_option
@refuses_in_words
def restore(backup: Path, data: Path, size: int | None, photos: str | None) -> None:
    """
    Put a workshop back from the folder BACKUP into a new folder, all of it checked.

    Nothing is overwritten, and nothing in the backup is changed. The ledger says for ever that it
    was put back; phones bring what it lacks. Exits 1 if photos are missing in the backup.

    Example:

    \b
        twoturns restore /mnt/other-disk/weir --data /srv/twoturns-2
    """
    restored = put_back(backup, data, size, photos=photos)
    click.echo(
        t(
            words.RESTORED,
            data=str(data),
            size=restored.size,
            received=instant(restored.received),
        )
    )
    if restored.working:
        click.echo(t(words.WORKING_FILES_BACK, n=restored.working))
    contacts = restored.contacts
    click.echo(t(words.CONTACTS_BACK, n=contacts) if contacts else t(words.NO_CONTACTS))
    click.echo(t(words.BEGINS_ANEW))
    click.echo(t(words.KEY_NOT_IN_BACKUP, data=str(data)))
    click.echo(t(words.RECOVER_WITH_PAPER, data=str(data)))
    click.echo(t(words.THEN_SERVE, data=str(data)))
    if restored.missing:
        listed = "".join(f"\n    {blob}" for blob in restored.missing)
        raise click.ClickException(
            t(words.BLOBS_MISSING, missing=len(restored.missing), listed=listed)
        )


@click.command("accept-loss")
@data_option
@refuses_in_words
def accept_loss(data: Path) -> None:
    """
    Go on with a ledger that has lost its newest records, and let the phones bring what they have.

    For a folder that is refused because records are lost, and of which no backup has more. All
    that is left is checked first. The ledger says for ever that it goes on from so many records,
    and phones bring back what came after: as after a restore.

    Example:

    \b
        twoturns accept-loss --data /srv/twoturns
    """
    size = accept(data)
    click.echo(t(words.LOSS_ACCEPTED, data=str(data), size=size))
    click.echo(t(words.LOSS_ACCEPTED_HINT))
