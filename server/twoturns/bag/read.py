"""
Opening a bag that a stranger sent.

Nothing is unpacked to disk. Names, sizes and kinds of all members are judged before a byte is
read, then every file is read once, hashed, and the texts kept; pictures are read again when
they are looked at. How much is read, `bounds` has.
"""

import hashlib
import io
import stat
import struct
import zipfile
import zlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import BinaryIO, Final

from twoturns.bag import bounds, layout
from twoturns.bag.evidence import BagUnreadable, Finding
from twoturns.words import t
from twoturns.words.en.bag import read as words

# Deflate packs a page of our records about tenfold; zeros a thousandfold.
MAX_RATIO: Final = 150
_RATIO_FROM: Final = 1 << 20
_UNIX: Final = 3
# Of a zip, by APPNOTE 6.3.10, sections 4.3.7, 4.3.9 and 4.3.16.
HEADER_BYTES: Final = 30
NAMES_AT: Final = 26
_HAS_DESCRIPTOR: Final = 8
_NO_GAP: Final[tuple[int, ...]] = (0,)
_DESCRIPTORS: Final[tuple[int, ...]] = (12, 16, 20, 24)
_END_BYTES: Final = 22
_END_MARK: Final = b"PK\x05\x06"

AGAIN = t(words.ASK_AGAIN)


@dataclass(frozen=True)
class Bag:
    """A bag's readable files: their sizes, their hashes, and the bytes of the texts."""

    archive: zipfile.ZipFile
    members: Mapping[str, zipfile.ZipInfo]
    digests: Mapping[str, str]
    texts: Mapping[str, bytes]

    def payload(self) -> dict[str, str]:
        """The digests of the payload alone, by name."""
        return {name: sha for name, sha in self.digests.items() if name.startswith(layout.PAYLOAD)}

    def read(self, name: str) -> bytes:
        """Return a file's bytes. Only for what `read_bag` could read."""
        return self.texts[name] if name in self.texts else self.archive.read(self.members[name])


def read_bag(file: BinaryIO) -> tuple[Bag, list[Finding]]:
    """
    Open a zipped bag and read it once.

    Returns:
        The bag, and a finding for each file that is foreign or cannot be read.

    Raises:
        BagUnreadable: If it is no zip, or unsafe to look into.
    """
    archive = opened_zip(file)
    members = members_of(file, archive, is_long=lambda name: layout.blob_of(name) is not None)
    digests: dict[str, str] = {}
    texts: dict[str, bytes] = {}
    findings = [
        Finding("unexpected-file", name, t(words.UNEXPECTED_FILE), AGAIN)
        for name in sorted(members)
        if not layout.is_ours(name)
    ]
    for name in sorted(members):
        try:
            digests[name], text = _digest(archive, members[name], keep=layout.blob_of(name) is None)
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError) as error:
            findings.append(
                Finding("unreadable", name, t(words.CANNOT_UNPACK, error=str(error)), AGAIN)
            )
            continue
        if text is not None:
            texts[name] = text
    return Bag(archive, members, digests, texts), findings


def opened_zip(file: BinaryIO) -> zipfile.ZipFile:
    """
    Open a zip; nothing in it is looked at yet (`members_of`).

    Raises:
        BagUnreadable: If it is none.
    """
    try:
        archive = zipfile.ZipFile(file)
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as error:
        raise BagUnreadable(t(words.NOT_A_ZIP, error=str(error)), hint=AGAIN) from error
    return archive


def members_of(
    file: BinaryIO, archive: zipfile.ZipFile, *, is_long: Callable[[str], bool]
) -> dict[str, zipfile.ZipInfo]:
    """
    Return the members under the one top folder, by their name in it.

    Args:
        file: What the zip was opened from.
        archive: The zip.
        is_long: Whether a file of a name is only limited by what all may have together.

    Raises:
        BagUnreadable: If one is unsafe to look into, or bytes belong to none of them.
    """
    infos = archive.infolist()
    _refuse(bounds.too_many(len(infos), sum(info.file_size for info in infos)))
    for info in infos:
        _refuse_unsafe(info)
    plain = [info for info in infos if not info.is_dir()]
    tops = {info.filename.partition("/")[0] for info in plain}
    if len(tops) > 1:
        raise _unsafe(t(words.SEVERAL_FOLDERS, tops=len(tops)))
    members: dict[str, zipfile.ZipInfo] = {}
    for info in plain:
        name = info.filename.partition("/")[2]
        if not name:
            raise _unsafe(t(words.BESIDE_FOLDER, filename=f"{info.filename!r}"))
        if name in members:
            raise _unsafe(t(words.TWICE_IN_ZIP, name=name))
        _refuse(None if is_long(name) else bounds.too_long(name, info.file_size))
        members[name] = info
    _refuse_hidden_bytes(file, archive)
    return members


def _refuse_unsafe(info: zipfile.ZipInfo) -> None:
    """Raise for a member that could leave its folder, is no plain file, or is a bomb."""
    name = info.filename
    segments = name.removesuffix("/").split("/")
    # orig_filename: zipfile cuts a name at a NUL byte, which would hide the rest of it.
    if "\\" in name or "\0" in info.orig_filename or any(s in ("", ".", "..") for s in segments):
        raise _unsafe(t(words.UNSAFE_NAME, name=f"{name!r}"))
    mode = info.external_attr >> 16 if info.create_system == _UNIX else 0
    if stat.S_IFMT(mode) not in (0, stat.S_IFREG, stat.S_IFDIR):
        raise _unsafe(t(words.LINK_OR_DEVICE, name=f"{name!r}"))
    if info.flag_bits & 1:
        raise _unsafe(t(words.ENCRYPTED, name=f"{name!r}"))
    if info.file_size > _RATIO_FROM and info.file_size > MAX_RATIO * info.compress_size:
        raise _unsafe(
            t(
                words.UNPACKS_TOO_FAR,
                name=f"{name!r}",
                file_size=info.file_size,
                compress_size=info.compress_size,
            )
        )


def _refuse_hidden_bytes(file: BinaryIO, archive: zipfile.ZipFile) -> None:
    """
    Raise for bytes that belong to none of the files: before, between or behind them, as a comment.

    A reader that goes through a zip from its start, not by its table at the end, would show them.
    """
    odd = _unsafe(t(words.STRAY_BYTES))
    place, gaps = 0, _NO_GAP
    for info in sorted(archive.infolist(), key=lambda one: one.header_offset):
        if info.header_offset - place not in gaps:
            raise odd
        file.seek(info.header_offset + NAMES_AT)
        lengths = file.read(4)  # of the name, and of what else the header holds
        if len(lengths) < 4:
            raise odd
        place = info.header_offset + HEADER_BYTES + sum(struct.unpack("<HH", lengths))
        place += info.compress_size
        gaps = _DESCRIPTORS if info.flag_bits & _HAS_DESCRIPTOR else _NO_GAP
    end = file.seek(0, io.SEEK_END)
    file.seek(end - _END_BYTES)
    has_comments = archive.comment or any(info.comment for info in archive.infolist())
    if archive.start_dir - place not in gaps or has_comments or file.read(4) != _END_MARK:
        raise odd


def _refuse(what: str | None) -> None:
    if what is not None:
        raise _unsafe(what)


def _unsafe(what: str) -> BagUnreadable:
    return BagUnreadable(what, hint=t(words.NOT_LOOKED_INTO, again=AGAIN))


def _digest(
    archive: zipfile.ZipFile, info: zipfile.ZipInfo, *, keep: bool
) -> tuple[str, bytes | None]:
    digest = hashlib.sha256()
    kept = bytearray()
    with archive.open(info) as stream:
        for chunk in layout.chunks(stream):
            digest.update(chunk)
            if keep:
                kept += chunk
    return digest.hexdigest(), bytes(kept) if keep else None


def manifest_findings(bag: Bag) -> list[Finding]:
    """Check that all is there, and that both manifests are exactly what the files make them."""
    findings = [
        Finding("missing", name, t(words.FILE_MISSING), AGAIN)
        for name in layout.REQUIRED
        if name not in bag.members
    ]
    if bag.texts.get("bagit.txt", layout.BAGIT_TXT.encode()) != layout.BAGIT_TXT.encode():
        findings.append(Finding("not-bagit-1.0", "bagit.txt", t(words.NOT_BAGIT), AGAIN))
    tags = {name: bag.digests[name] for name in layout.TAG_FILES if name in bag.digests}
    for manifest, expected in ((layout.MANIFEST, bag.payload()), (layout.TAG_MANIFEST, tags)):
        if manifest in bag.texts:
            findings += _compare(manifest, bag.texts[manifest], expected, bag)
    return findings


def _compare(manifest: str, text: bytes, expected: dict[str, str], bag: Bag) -> list[Finding]:
    if text == layout.manifest(expected).encode():
        return []
    lines = [line.partition("  ") for line in text.decode("utf-8", "replace").splitlines()]
    listed = {name: sha for sha, _, name in lines}
    findings = []
    for name in sorted(expected.keys() | listed.keys()):
        if name in bag.members and name not in expected and name in listed:
            continue  # already found unreadable
        what = _difference(manifest, listed.get(name), expected.get(name))
        if what:
            findings.append(Finding("changed", name, what, _changed_hint(name, manifest)))
    if not findings and not (listed.keys() - expected.keys()):
        what = t(words.MALFORMED_MANIFEST)
        findings.append(Finding("changed", manifest, what, AGAIN))
    return findings


def _difference(manifest: str, listed: str | None, found: str | None) -> str | None:
    if listed == found:
        return None
    if listed is None:
        return t(words.FILE_UNLISTED, manifest=manifest)
    if found is None:
        return t(words.LISTED_FILE_MISSING, manifest=manifest)
    return t(words.HASH_DIFFERS, found=found, manifest=manifest, listed=listed)


def _changed_hint(name: str, manifest: str) -> str:
    return t(words.CHANGED_AFTERWARDS, name=name, manifest=manifest, again=AGAIN)
