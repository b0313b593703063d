"""
The command `import`: what a phone wrote to a file, taken in as if it had been sent.

The file comes from anywhere, so nothing in it is believed: lines and private values go the way of
a push, photos the way of an upload, with the same checks and the same refusals. Photos count only
when an entry of the file names them. Nothing in the zip may be packed, so it holds no bomb.
"""

import json
import re
import zipfile
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from typing import Any

import click

from twoturns.cli.parts import FILE, data_option, now, open_to_write, refuses_in_words
from twoturns.ledger.forms import SHA256
from twoturns.store import Store
from twoturns.store.errors import StoreError
from twoturns.store.scrub import judge_type
from twoturns.store.uploads import MAX_BYTES
from twoturns.words import t
from twoturns.words.en.cli import import_file as words

FORM = b"two-turns export 1\n"
FORM_FILE, LINES_FILE, VALUES_FILE = "two-turns.txt", "entries.txt", "values.txt"
PHOTO = re.compile(rf"photos/({SHA256})")
TEXT_BYTES = 256 * 2**20
PIECE_BYTES = 1 << 20
#: As many as a phone may push at once.
BATCH = 500


class NotAnExport(StoreError):
    """The file is not what a phone writes."""

    code = "not-an-export"

    def __init__(self, why: str) -> None:
        super().__init__(
            t(words.NOT_AN_EXPORT, why=why),
            hint=t(words.NOT_AN_EXPORT_HINT),
        )


@click.command("import")
@click.argument("file", type=FILE)
@data_option
@refuses_in_words
def import_file(file: Path, data: Path) -> None:
    """
    Take in FILE, which a phone wrote because it could not send. Again, it changes nothing.

    Everything is checked as if the phone had sent it. Exits 1 if something was refused, and names
    it; the rest is kept.

    Example:

    \b
        twoturns import two-turns-WEIR-12.zip
    """
    store = open_to_write(data)
    try:
        with zipfile.ZipFile(file) as packed:
            _require_form(packed)
            lines, values = _texts(packed, LINES_FILE), _texts(packed, VALUES_FILE)
            before = store.ledger.size()
            kept, unread, refused = _push(store, lines, values)
            photos, unfit = _photos(store, packed, _named(lines))
    except zipfile.BadZipFile as error:
        raise NotAnExport(t(words.NOT_A_ZIP, error=str(error))) from error
    new = store.ledger.size() - before
    click.echo(t(words.IMPORTED, file=file.name, entries=kept, photos=photos, new=new))
    if unread:
        click.echo(t(words.FROM_NEWER_APP, unread=unread))
    for what in chain(refused, unfit):
        click.echo(t(words.REFUSED, what=what))
    if refused or unfit:
        raise click.ClickException(t(words.SOME_REFUSED, refused=len(refused) + len(unfit)))


def _require_form(packed: zipfile.ZipFile) -> None:
    for member in packed.infolist():
        if member.compress_type != zipfile.ZIP_STORED or member.file_size != member.compress_size:
            raise NotAnExport(t(words.MEMBER_IS_PACKED, filename=member.filename))
    if _read(packed, FORM_FILE) != FORM:
        raise NotAnExport(t(words.UNKNOWN_FORM))


def _read(packed: zipfile.ZipFile, name: str) -> bytes:
    try:
        member = packed.getinfo(name)
    except KeyError:
        raise NotAnExport(t(words.MEMBER_MISSING, name=name)) from None
    if member.file_size > TEXT_BYTES:
        raise NotAnExport(f"{name} has {member.file_size} bytes")
    return packed.read(member)


def _texts(packed: zipfile.ZipFile, name: str) -> list[str]:
    try:
        return _read(packed, name).decode().split("\n")[:-1]
    except UnicodeDecodeError as error:
        raise NotAnExport(t(words.NOT_UTF8, name=name)) from error


def _push(store: Store, lines: list[str], values: list[str]) -> tuple[int, int, list[str]]:
    """
    Append all of it as pushes; return how many entries are kept, how many of them only a newer
    program can act on, and what was refused.
    """
    kept, unread, refused = 0, 0, []
    batches: list[tuple[list[str], list[str]]]
    batches = [(lines[at : at + BATCH], []) for at in range(0, len(lines), BATCH)]
    batches += [([], values[at : at + BATCH]) for at in range(0, len(values), BATCH)]
    for some_lines, some_values in batches:
        # Whoever runs this has the workshop's computer: it takes what is too much for the line.
        receipt = store.ledger.append(
            some_lines, some_values, received=now(), offset_ms=None, is_bounded=False
        )
        kept += len(receipt.indices)
        unread += len(receipt.unread)
        refused += [_told(one) for one in receipt.refused]
    return kept, unread, refused


def _told(refusal: dict[str, Any]) -> str:
    what = t(words.AN_ENTRY) if "line" in refusal else t(words.PRIVATE_VALUE)
    return f"{what}: {refusal['message']}\n    {refusal['hint']} [{refusal['code']}]"


def _named(lines: list[str]) -> set[str]:
    """Return the blobs of photos and instruments that lines name, whatever the lines are worth."""
    found = set()
    for line in lines:
        try:
            said = json.loads(line.partition(" ")[2])
            if said["kind"] == "photo.taken":
                found.add(said["body"]["blob"])
            elif said["kind"] == "reading.taken":
                found |= {each["blob"] for each in said["body"].get("saw", ())}
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
            continue  # the push has refused this line and said so
    return found


def _photos(store: Store, packed: zipfile.ZipFile, named: set[str]) -> tuple[int, list[str]]:
    """Take in the photos as uploads of the console's."""
    kept, refused = 0, []
    for member in packed.infolist():
        match = PHOTO.fullmatch(member.filename)
        if match is None:
            continue
        why = _refused_photo(store, match[1], member.file_size, named)
        if why is None:
            why = _take_photo(store, packed, member, match[1])
        if why is None:
            kept += 1
        else:
            refused.append(f"photo {match[1][:12]}: {why}")
    return kept, refused


def _refused_photo(store: Store, sha256: str, size: int, named: set[str]) -> str | None:
    if sha256 not in named:
        return t(words.NAMED_BY_NO_ENTRY)
    if size > MAX_BYTES:
        return t(words.PHOTO_TOO_LARGE, size=f"{size / 2**20:.0f}", max_bytes=MAX_BYTES // 2**20)
    if store.views.is_erased(sha256):
        return t(words.ERASED_BY_ORDER)
    return None


def _take_photo(
    store: Store, packed: zipfile.ZipFile, member: zipfile.ZipInfo, sha256: str
) -> str | None:
    """Keep one photo, or say why not. A damaged one leaves nothing behind."""
    uploads, console = store.uploads, store.ledger.workshop
    if not store.blobs.has_whole(sha256):
        uploads.drop(console, sha256)
        uploads.begin(console, sha256, member.file_size)
        try:
            uploads.append(console, sha256, 0, _pieces(packed, member))
            uploads.finish(console, sha256)
        except (StoreError, zipfile.BadZipFile) as error:
            uploads.drop(console, sha256)
            if isinstance(error, StoreError) and error.code == "workshop-full":
                raise
            return str(error)
    store.ledger.keep([sha256], now())
    judge_type(store, sha256)
    return None


def _pieces(packed: zipfile.ZipFile, member: zipfile.ZipInfo) -> Iterator[bytes]:
    with packed.open(member) as content:
        while piece := content.read(PIECE_BYTES):
            yield piece
