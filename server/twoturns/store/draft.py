"""
A draft: a procedure that is being written. Its source, its pictures and its own blocks, packed as
one ZIP file.

A ZIP file that somebody sends may be anything. Nothing in it is believed: neither how many entries
it has nor how large they say they are; its names become no paths; only a source, blocks beside it
and pictures, whose bytes are pictures, come out of it. One folder around them all is taken off, as
packing programs put it there.

Sources: PKWARE APPNOTE 6.3.9 (the form); OWASP ASVS 5.0.0, 5.2 and 5.3 (what is refused).
"""

from __future__ import annotations

import io
import re
import stat
import struct
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from twoturns.bag import picture
from twoturns.procedure.blocks.library import SUFFIX
from twoturns.procedure.compile.bundle import BLOCKS_NAME, SOURCE_NAME
from twoturns.procedure.language.schema import PICTURE_TYPES
from twoturns.procedure.language.source import MOST_BYTES as MOST_SOURCE_BYTES
from twoturns.store.errors import DraftRefused
from twoturns.trade.media import media_type
from twoturns.words import t
from twoturns.words.en.store import draft as words

DRAFT = r"[a-z][a-z0-9-]{0,39}"
PICTURE = r"[a-z0-9][a-z0-9_-]{0,59}\.(?:jpg|png|webp)"
BLOCK = rf"{BLOCKS_NAME}/[a-z][a-z0-9_]{{0,39}}\{SUFFIX}"
#: All of a draft. What goes out by one request comes back by one: `api.MAX_JSON_BYTES` is as much.
MOST_BYTES = 8 * 2**20
MOST_FILES = 64
#: Of deflate; 1,032 is its own limit. A source packs to a tenth, a picture hardly at all.
MOST_RATIO = 100
_BEFORE_ALL = (1980, 1, 1, 0, 0, 0)  # the earliest date a ZIP file knows: the same bytes each time
_ENCRYPTED = 0x1
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_ENTRY_MARK = b"PK\x01\x02"  # APPNOTE 4.3.12: each entry of the central directory begins with it


@dataclass(frozen=True)
class Draft:
    """
    The source as it was written, finished or not, the pictures by their names, and the blocks that
    only it has, by their file names.
    """

    text: str
    pictures: Mapping[str, bytes] = field(default_factory=dict)
    blocks: Mapping[str, bytes] = field(default_factory=dict)


def packed(draft: Draft) -> bytes:
    """
    Return a draft as a ZIP file: the same bytes for the same draft.

    Raises:
        DraftRefused: `draft-too-large`.
    """
    _require_source(draft.text.encode())
    blocks = {f"{BLOCKS_NAME}/{name}": data for name, data in sorted(draft.blocks.items())}
    files = {SOURCE_NAME: draft.text.encode(), **blocks, **dict(sorted(draft.pictures.items()))}
    _require_few(len(files))
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, data in files.items():
            archive.writestr(zipfile.ZipInfo(name, _BEFORE_ALL), data)
    if len(out.getvalue()) > MOST_BYTES:
        raise _too_large()
    return out.getvalue()


def received(data: bytes) -> Draft:
    """
    Return the draft that a ZIP file of unknown origin holds; its pictures are pictures.

    Raises:
        DraftRefused: `bad-zip`; `bad-picture`; `draft-too-large`.
    """
    draft = unpacked(data)
    for name, content in draft.pictures.items():
        require_picture(name, content)
    return draft


def unpacked(data: bytes) -> Draft:
    """Return the draft that a ZIP file holds; its pictures may be anything. Raises as that."""
    _require_few(data.count(_ENTRY_MARK))  # before they are listed: 170,000 took seconds, and 90 MB
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            files = dict(_files(archive))
    except _NOT_A_ZIP as error:
        raise _bad_zip(t(words.NOT_A_ZIP)) from error
    source = files.pop(SOURCE_NAME, None)
    if source is None:
        raise _bad_zip(t(words.NO_SOURCE, source=SOURCE_NAME))
    _require_source(source)
    try:
        text = source.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _bad_zip(t(words.SOURCE_NOT_UTF8, source=SOURCE_NAME)) from error
    blocks = {name: files.pop(name) for name in list(files) if re.fullmatch(BLOCK, name)}
    return Draft(text, files, {name.rpartition("/")[2]: data for name, data in blocks.items()})


# What `zipfile` raises at bytes that are no ZIP file, or a damaged one; found by changing bytes.
_NOT_A_ZIP = (
    *(zipfile.BadZipFile, zlib.error, struct.error, EOFError, OSError, ValueError, IndexError),
    *(NotImplementedError, RuntimeError, OverflowError, KeyError),
)


def _files(archive: zipfile.ZipFile) -> Iterator[tuple[str, bytes]]:
    """Yield the files of an archive by their names; each is judged before a byte of it is read."""
    entries = [entry for entry in archive.infolist() if not entry.is_dir()]
    _require_few(len(archive.filelist))
    around = _folder_around([entry.filename for entry in entries])
    seen, left = set(), MOST_BYTES
    for entry in entries:
        name = entry.filename.removeprefix(around)
        _require_plain(entry, name)
        if name in seen:
            raise _bad_zip(t(words.TWICE, name=name))
        seen.add(name)
        # By what comes out, not by what the entry says of itself: that is written by who sends it.
        with archive.open(entry) as file:
            content = file.read(left + 1)
        left -= len(content)
        if left < 0:
            raise _too_large()
        yield name, content


def _require_plain(entry: zipfile.ZipInfo, name: str) -> None:
    if name != SOURCE_NAME and not re.fullmatch(f"{PICTURE}|{BLOCK}", name):
        raise _bad_zip(t(words.NAME_REFUSED, name=f"{entry.filename[:80]!a}", source=SOURCE_NAME))
    kind = stat.S_IFMT(entry.external_attr >> 16)
    if kind not in (0, stat.S_IFREG):
        raise _bad_zip(t(words.NOT_A_FILE, name=name))
    if entry.flag_bits & _ENCRYPTED or entry.compress_type not in _METHODS:
        raise _bad_zip(t(words.PACKED_OTHERWISE, name=name))
    if entry.file_size > MOST_RATIO * max(entry.compress_size, 1):
        raise _bad_zip(t(words.PACKED_TOO_DENSE, name=name, most=MOST_RATIO))


def _folder_around(names: list[str]) -> str:
    """Return the one folder that all files lie in, as `name/`; empty where there is none."""
    tops = {name.partition("/")[0] for name in names if "/" in name}
    if len(tops) == 1 and all("/" in name for name in names):
        return f"{tops.pop()}/"
    return ""


def _require_source(text: bytes) -> None:
    if len(text) > MOST_SOURCE_BYTES:
        raise _too_large()


def _require_few(files: int) -> None:
    if files > MOST_FILES:
        raise DraftRefused("draft-too-large", t(words.TOO_MANY_FILES, n=files, most=MOST_FILES))


def require_picture(name: str, data: bytes) -> None:
    """
    Refuse what is no picture of the kind that its name says, or too large to be opened.

    Raises:
        DraftRefused: `bad-picture`.
    """
    if media_type(data) != PICTURE_TYPES[name.rpartition(".")[2]]:
        raise DraftRefused("bad-picture", t(words.OTHER_KIND, name=name))
    # Decoded, and what came of it thrown away: a head alone says little.
    if picture.copy_at_most(data, picture.THUMBNAIL_PX) is None:
        raise DraftRefused("bad-picture", t(words.NO_PICTURE, name=name))


def _bad_zip(message: str) -> DraftRefused:
    return DraftRefused("bad-zip", message)


def _too_large() -> DraftRefused:
    return DraftRefused("draft-too-large", t(words.TOO_LARGE, mib=MOST_BYTES // 2**20))
