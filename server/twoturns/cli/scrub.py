"""The command `scrub`: every photo and value read through once, and what was damaged put back."""

from pathlib import Path

import click

from twoturns.cli.parts import data_option, open_store, refuses_in_words
from twoturns.store.blob_folder import BlobFolder
from twoturns.store.blob_names import where_named
from twoturns.store.errors import StoreError
from twoturns.store.scrub import DAMAGED, mend
from twoturns.store.scrub import scrub as read_through
from twoturns.words import t
from twoturns.words.en.cli import scrub as words


@click.command()
@data_option
@click.option(
    "--from",
    "backup",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="A backup's folder: what is altered or missing here is put back from it.",
)
@refuses_in_words
def scrub(data: Path, backup: Path | None) -> None:
    """
    Read every photo and private value through, and say what is not what it was. Thumbnails too.

    Exits 1 if something is not, and names it. What is altered is never removed: it is set aside in
    the folder `damaged` when the right bytes come, from --from, from a phone or by `import`.

    Example:

    \b
        twoturns scrub --from /mnt/other-disk/weir
    """
    store, source = open_store(data), _blobs_of(backup)
    read = left = 0
    for blob, found in read_through(store):
        read += 1
        if found == "whole":
            continue
        is_back = source is not None and found in DAMAGED and mend(store, blob, source)
        left += not is_back
        back = t(words.PUT_BACK) if is_back else ""
        click.echo(f"{where_named(store.database, blob)} ({blob}): {t(words.DAMAGE[found])}{back}")
    click.echo(t(words.READ_THROUGH, data=str(data), read=read))
    if left:
        raise click.ClickException(t(words.DAMAGE_FOUND, left=left))


def _blobs_of(backup: Path | None) -> BlobFolder | None:
    if backup is None:
        return None
    if not (backup / "blobs").is_dir():
        raise StoreError(
            t(words.NO_BACKUP, backup=str(backup)),
            hint=t(words.NO_BACKUP_HINT),
            code="bad-backup-place",
        )
    return BlobFolder(backup / "blobs")
