"""
Writing a bag: a zip of stored files that streams out, each blob hashed anew as it leaves.

The same evidence gives the same bytes. `out` need not be seekable. What is already out cannot
be called back, but a blob that differs ends the file there: without its central directory it is
no zip, and nobody takes half a bag for a whole one.
"""

import hashlib
import zipfile
from collections.abc import Callable, Generator, Iterable, Iterator, Mapping
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from contextlib import closing, contextmanager, suppress
from typing import BinaryIO, Final, cast

from twoturns.bag import bounds, layout
from twoturns.bag.assess import account_of
from twoturns.bag.contents import of_evidence
from twoturns.bag.evidence import BagTooLarge, BlobDiffers, Evidence
from twoturns.bag.growth import consistency_json
from twoturns.bag.head import Ids, JobHead, counted, payload_hash
from twoturns.bag.parse import disclosure_json, proofs_json
from twoturns.bag.report import render
from twoturns.bag.tell import tell
from twoturns.bag.told import Told
from twoturns.words import t
from twoturns.words.en.bag import write as words

# The time in a zip is no evidence; one for all keeps the bytes the same.
NO_TIME: Final = (1980, 1, 1, 0, 0, 0)


def write_bag(evidence: Evidence, out: BinaryIO) -> None:
    """
    Write the evidence as a zipped bag.

    Raises:
        BlobDiffers: If a blob does not hash to its name. What was written is no zip then.
        BagTooLarge: If it would be more than `verify` reads; nor is it a zip then.
    """
    records = "".join(f"{n} {one.text}\n" for n, one in evidence.records).encode()
    _refuse(bounds.too_long(layout.RECORDS, len(records)))  # before all of it is judged
    contents = of_evidence(evidence)
    account = account_of(contents)
    told = tell(account, contents)
    texts = {
        layout.RECORDS: records,
        layout.PROOFS: proofs_json(evidence.head.size, evidence.paths),
        layout.CHECKPOINT: evidence.checkpoint.encode(),
        layout.BUNDLE: evidence.bundle,
        layout.DISCLOSURE: disclosure_json(list(evidence.disclosures)),
        layout.ACCOUNT: account.to_json(),
        layout.REPORT: render(told, contents).encode(),
        layout.IDS: Ids.of(evidence.job, evidence.records).text.encode(),
        **_since(evidence),
    }
    with whole_or_none(out) as archive, ThreadPoolExecutor(1) as hashing:
        bag = _Bag(archive, f"two-turns-{evidence.job}", hashing)
        for name, text in texts.items():
            bag.add(name, [text])
        with closing(_opened(evidence.files)) as opened:
            for name, stream in opened:
                with stream:
                    _refuse_other_bytes(name, bag.add(name, layout.chunks(stream)))
        bag.add(layout.HEAD, [_head(bag, evidence).encode()])
        _add_tag_files(bag, evidence, told)


def _opened(
    files: Mapping[str, Callable[[], BinaryIO]],
) -> Generator[tuple[str, BinaryIO], None, None]:
    """Yield files by name. The next one is opened meanwhile: of a photo a copy may be made then."""
    names = sorted(files)
    with ThreadPoolExecutor(1) as beside:
        ahead = [beside.submit(files[name]) for name in names[:1]]
        try:
            for place, name in enumerate(names):
                stream = ahead.pop().result()
                ahead = [beside.submit(files[one]) for one in names[place + 1 : place + 2]]
                yield name, stream
        finally:
            for one in ahead:  # it ended early: nobody takes this one
                with suppress(Exception):
                    one.result().close()


def _since(evidence: Evidence) -> dict[str, bytes]:
    if evidence.since is None:
        return {}
    held, note, path = evidence.since
    said = consistency_json(held.size, evidence.head.size, path)
    return {layout.SINCE: note.encode(), layout.CONSISTENCY: said}


def _head(bag: "_Bag", evidence: Evidence) -> str:
    """Return the signed head of the job. It is over the other files, so it leaves after them."""
    ids = Ids.of(evidence.job, evidence.records)
    head = JobHead(
        workshop=evidence.workshop,
        job=evidence.job,
        checkpoint=evidence.head,
        made_on=evidence.made_on,
        entries=counted(ids.entries),
        others=counted(ids.others),
        payload=payload_hash(bag.digests),
    )
    return evidence.sign(head.text)


@contextmanager
def whole_or_none(out: BinaryIO) -> Iterator[zipfile.ZipFile]:
    """Give a zip that gets its central directory only if all of it could be written."""
    gate = _Gate(out)
    with zipfile.ZipFile(cast(BinaryIO, gate), "w", zipfile.ZIP_STORED) as archive:
        try:
            yield archive
        except BaseException:
            gate.is_shut = True  # closing the archive would write the directory all the same
            raise


class _Gate:
    """A file to write to that takes nothing more once it is shut."""

    def __init__(self, out: BinaryIO) -> None:
        self._out = out
        self.is_shut = False

    def write(self, data: bytes) -> int:
        return len(data) if self.is_shut else self._out.write(data)

    def tell(self) -> int:
        return self._out.tell()

    def seek(self, offset: int, whence: int = 0) -> int:
        return self._out.seek(offset, whence)

    def flush(self) -> None:
        self._out.flush()


def _add_tag_files(bag: "_Bag", evidence: Evidence, told: Told) -> None:
    payload = dict(bag.digests)
    info = layout.bag_info(
        job=evidence.job,
        workshop_name=told.workshop_name,
        made_on=evidence.made_on,
        oxum=(bag.size, len(payload)),
        head=told.head,
    )
    bag.add("bagit.txt", [layout.BAGIT_TXT.encode()])
    bag.add(layout.BAG_INFO, [info.encode()])
    bag.add(layout.MANIFEST, [layout.manifest(payload).encode()])
    tags = {name: bag.digests[name] for name in layout.TAG_FILES}
    bag.add(layout.TAG_MANIFEST, [layout.manifest(tags).encode()])


class _Bag:
    """
    The zip as it grows: the hash of each file so far, and the bytes of all.

    A piece is hashed while it is written and the next one is read: each takes a processor as long
    as the other two.
    """

    def __init__(self, archive: zipfile.ZipFile, base: str, hashing: Executor) -> None:
        self.archive = archive
        self.base = base
        self._hashing = hashing
        self.digests: dict[str, str] = {}
        self.size = 0

    def add(self, name: str, pieces: Iterable[bytes]) -> str:
        digest = hashlib.sha256()
        info = zipfile.ZipInfo(f"{self.base}/{name}", date_time=NO_TIME)
        info.external_attr = 0o644 << 16
        with self.archive.open(info, "w") as member:
            start = self.size
            hashed: Future[None] | None = None
            for piece in pieces:
                if hashed is not None:
                    hashed.result()  # no more than one behind: a file may be larger than memory
                hashed = self._hashing.submit(digest.update, piece)
                self.size += len(piece)
                _refuse(bounds.too_many(len(self.digests) + 1, self.size))
                _refuse(bounds.too_long(name, self.size - start))
                member.write(piece)
            if hashed is not None:
                hashed.result()
        self.digests[name] = digest.hexdigest()
        return self.digests[name]


def _refuse(what: str | None) -> None:
    if what is not None:
        raise BagTooLarge(
            t(words.CANNOT_BE_CHECKED, what=what),
            hint=t(words.CANNOT_BE_CHECKED_HINT),
        )


def _refuse_other_bytes(name: str, found: str) -> None:
    blob = layout.blob_of(name) or ""
    if found != blob and not name.startswith(layout.COPIES):
        raise BlobDiffers(
            t(words.BLOB_DIFFERS, blob=blob, found=found),
            hint=t(words.BLOB_DIFFERS_HINT),
            blob=blob,
        )
