"""
Several bags in one file: a zip with one folder, and in it each bag as it would leave by itself.

    NAME/PLATE_DAY.zip     a bag, stored, not packed: it is read where it lies
    NAME/bags.json         canonical {"bags":[{"job","name","sha256"}],"v":1}, by name
    NAME/sample/...        only of a sample: what proves the draw (`bag.sheet`)

Each bag has the workshop's head of its job, so nothing is left out of one. Which jobs are in the
file is the word of who made it, but for a sample: that says which there have to be.
"""

import hashlib
import io
import struct
import tempfile
import zipfile
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import IO, Any, BinaryIO, Final, cast

from twoturns.bag import bounds, layout, sheet
from twoturns.bag.evidence import BagTooLarge, BagUnreadable, Finding
from twoturns.bag.read import AGAIN, HEADER_BYTES, NAMES_AT, members_of, opened_zip
from twoturns.bag.sheet import Drawn
from twoturns.bag.verify import Verdict, verify
from twoturns.bag.write import NO_TIME, whole_or_none
from twoturns.ledger import canonical
from twoturns.ledger.errors import LedgerError
from twoturns.ledger.forms import SHA256, UUID7, is_formed
from twoturns.words import t
from twoturns.words.en.bag import many as words

LIST: Final = "bags.json"
ENDING: Final = ".zip"
_IN_MEMORY: Final = 16 * 2**20


@dataclass(frozen=True)
class Listed:
    """A bag of the file: its job, its file's name, and that file's SHA-256."""

    job: str
    name: str
    sha256: str


@dataclass(frozen=True)
class ManyVerdict:
    """What checking a file of bags came to: what does not hold of the file, and of each bag."""

    findings: tuple[Finding, ...]
    bags: tuple[tuple[str, Verdict], ...] = ()
    workshop: str = ""
    drawn: Drawn | None = None

    @property
    def holds(self) -> bool:
        """Whether the file and all bags in it hold."""
        return not self.findings and all(one.holds for _, one in self.bags)


# Writing.


def write_many(
    bags: Iterable[tuple[str, str, Callable[[BinaryIO], None]]],
    sample: Mapping[str, bytes],
    folder: str,
    out: BinaryIO,
) -> None:
    """
    Write bags as one file.

    Args:
        bags: Of each the job, the name of its file without its ending, and what writes it.
        sample: The files of a sample's sheet, by name; none where it is no sample.
        folder: The name of the one folder.
        out: Where to; it need not be seekable.

    Raises:
        BagTooLarge: If it would be more than is read. What was written is no zip then.
    """
    listed: list[Listed] = []
    total = 0
    with whole_or_none(out) as archive:
        for job, name, write in bags:
            with tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY) as bag:
                write(cast(BinaryIO, bag))
                total += bag.tell()
                _refuse(bounds.too_many(len(listed) + 1, total))
                digest = _add(archive, f"{folder}/{name}{ENDING}", cast(IO[bytes], bag))
            listed.append(Listed(job, f"{name}{ENDING}", digest))
        for name, data in {**sample, LIST: list_json(listed)}.items():
            _add(archive, f"{folder}/{name}", io.BytesIO(data))


def list_json(bags: Iterable[Listed]) -> bytes:
    """Return `bags.json`."""
    in_order = sorted(bags, key=lambda one: one.name)
    return canonical.dumps({"v": 1, "bags": [vars(one) for one in in_order]})


def _add(archive: zipfile.ZipFile, name: str, file: IO[bytes]) -> str:
    info = zipfile.ZipInfo(name, date_time=NO_TIME)
    info.external_attr = 0o644 << 16
    info.file_size = file.seek(0, io.SEEK_END)  # from 2 GiB on its header has another form
    file.seek(0)
    digest = hashlib.sha256()
    with archive.open(info, "w") as member:
        for piece in layout.chunks(file):
            digest.update(piece)
            member.write(piece)
    return digest.hexdigest()


def _refuse(what: str | None) -> None:
    if what is not None:
        raise BagTooLarge(t(words.CANNOT_BE_CHECKED, what=what), hint=t(words.TAKE_FEWER))


# Checking.


def is_many(file: BinaryIO) -> bool:
    """Say whether a file is one of several bags, as far as its list of files tells."""
    try:
        names = zipfile.ZipFile(file).namelist()
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError):
        return False
    finally:
        file.seek(0)
    return any(name.partition("/")[2] == LIST for name in names)


def verify_many(file: BinaryIO, *, key: str | None = None) -> ManyVerdict:
    """
    Check a file of bags, and each bag in it.

    Args:
        file: Open for reading and seekable.
        key: The fingerprint of the workshop that the reader trusts, from paper.
    """
    try:
        archive = opened_zip(file)
        members = members_of(file, archive, is_long=lambda name: name.endswith(ENDING))
    except BagUnreadable as error:
        return ManyVerdict((Finding(error.code, t(words.THE_FILE), str(error), error.hint),))
    return _Many(file, archive, members).verdict(key)


def sheet_in(file: BinaryIO) -> dict[str, bytes]:
    """
    Return the files of the sample's sheet in a file of bags; none where it is of no sample.

    Raises:
        BagUnreadable: If it is no zip, or unsafe to look into.
    """
    archive = opened_zip(file)
    members = members_of(file, archive, is_long=lambda name: name.endswith(ENDING))
    return {name: archive.read(members[name]) for name in sheet.FILES if name in members}


class _Many:
    def __init__(
        self, file: BinaryIO, archive: zipfile.ZipFile, members: Mapping[str, zipfile.ZipInfo]
    ) -> None:
        self.file, self.archive, self.members = file, archive, members
        self.findings: list[Finding] = []

    def verdict(self, key: str | None) -> ManyVerdict:
        listed = self._listed()
        names = {one.name for one in listed}
        for name in sorted(self.members.keys() - names - {LIST, *sheet.FILES}):
            self._find("unexpected-file", name, t(words.UNEXPECTED_FILE))
        bags = [(one, verdict) for one in listed if (verdict := self._bag(one, key)) is not None]
        workshops = {verdict.workshop for _, verdict in bags if verdict.workshop}
        drawn = self._sample(listed, workshops, key)
        if len(workshops) > 1:
            self._find("several-workshops", LIST, t(words.SEVERAL_WORKSHOPS, n=len(workshops)))
        return ManyVerdict(
            tuple(self.findings),
            tuple((one.name, verdict) for one, verdict in bags),
            min(workshops, default=""),
            drawn,
        )

    def _find(self, code: str, name: str, what: str, hint: str = AGAIN) -> None:
        self.findings.append(Finding(code, name, what, hint))

    def _listed(self) -> list[Listed]:
        try:
            text = self._read(LIST)
            said = [Listed(**one) for one in canonical.loads(text)["bags"]]
            if not all(map(_is_formed, said)) or list_json(said) != text:
                raise ValueError(t(words.MALFORMED_LIST))
            if len({one.name for one in said}) < len(said):
                raise ValueError(t(words.MALFORMED_LIST))
        except (LedgerError, ValueError, KeyError, TypeError, OSError, zipfile.BadZipFile) as error:
            self._find("bags", LIST, t(words.UNREADABLE, error=str(error)))
            return []
        return said

    def _read(self, name: str) -> bytes:
        return self.archive.read(self.members[name])

    def _bag(self, one: Listed, key: str | None) -> Verdict | None:
        info = self.members.get(one.name)
        if info is None:
            self._find("missing", one.name, t(words.BAG_MISSING))
            return None
        if info.compress_type != zipfile.ZIP_STORED:
            self._find("unreadable", one.name, t(words.PACKED_TWICE))
            return None
        part = Part(self.file, info)
        digest = hashlib.sha256()
        for piece in layout.chunks(cast(IO[bytes], part)):
            digest.update(piece)
        if digest.hexdigest() != one.sha256:
            self._find("changed", one.name, t(words.OTHER_HASH, found=digest.hexdigest()))
        part.seek(0)
        verdict = verify(cast(BinaryIO, part), key=key)
        if verdict.account is not None and verdict.account.job != one.job:
            self._find("other-job", one.name, t(words.OTHER_JOB, job=verdict.account.job))
        return verdict

    def _sample(self, listed: list[Listed], workshops: set[str], key: str | None) -> Drawn | None:
        files = {name: self._read(name) for name in sheet.FILES if name in self.members}
        if not files:
            return None
        drawn, workshop, found = sheet.judge_sheet(files)
        self.findings += found
        trusted = set() if key is None else {"".join(key.split())}
        if (workshops | trusted) - {workshop}:
            self._find("other-workshop", sheet.RECORDS, t(words.SHEET_OF_ANOTHER))
        self.findings += _as_drawn(drawn, listed) if drawn is not None else []
        return drawn


def _as_drawn(drawn: Drawn, listed: list[Listed]) -> Iterator[Finding]:
    """Hold the bags of a sample against what was drawn; a sheet alone is as good."""
    here = {one.job for one in listed}
    for job in drawn.jobs if here else ():
        if job not in here:
            yield Finding("drawn-missing", LIST, t(words.DRAWN_MISSING, job=job), AGAIN)
    for one in listed:
        if one.job not in drawn.jobs:
            yield Finding("not-drawn", one.name, t(words.NOT_DRAWN, job=one.job), AGAIN)


def _is_formed(one: Listed) -> bool:
    return (
        is_formed(one.job, UUID7)
        and is_formed(one.sha256, SHA256)
        and isinstance(one.name, str)
        and one.name.endswith(ENDING)
        and "/" not in one.name
    )


class Part(io.RawIOBase):
    """A file that lies in another one as it is: read there, without a copy."""

    def __init__(self, file: BinaryIO, info: zipfile.ZipInfo) -> None:
        self._file, self._size, self._at = file, info.file_size, 0
        file.seek(info.header_offset + NAMES_AT)
        lengths = struct.unpack("<HH", file.read(4))  # of the name, and of what else is there
        self._start = info.header_offset + HEADER_BYTES + sum(lengths)

    def readable(self) -> bool:  # noqa: D102 - as io.RawIOBase
        return True

    def seekable(self) -> bool:  # noqa: D102 - as io.RawIOBase
        return True

    def seek(self, offset: int, whence: int = io.SEEK_SET) -> int:  # noqa: D102 - as io.RawIOBase
        place = {io.SEEK_SET: 0, io.SEEK_CUR: self._at, io.SEEK_END: self._size}[whence] + offset
        if place < 0:
            raise OSError(place)
        self._at = place
        return place

    def tell(self) -> int:  # noqa: D102 - as io.RawIOBase
        return self._at

    def readinto(self, buffer: Any) -> int:  # noqa: D102, ANN401 - as io.RawIOBase
        size = max(0, min(len(buffer), self._size - self._at))
        self._file.seek(self._start + self._at)
        data = self._file.read(size)
        buffer[: len(data)] = data
        self._at += len(data)
        return len(data)
