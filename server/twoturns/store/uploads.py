"""
Uploads in progress: `uploads/DEVICE/SHA.LENGTH`, a file that grows until it is the blob.

The file's size is the offset; there is no second place that could disagree with it. Each device
has a folder of its own, so two phones with one photo cannot write into each other's half.
Requests of one device may meet at one half: nobody writes to one, moves it or removes it without
its lock.

A piece whose offset is told has come in, and is not kept yet: after a power cut the offset may be
a lower one, and the phone goes on from there. The whole is flushed once, when its last piece is
here and before it gets its name, and then read back: what must hash to the name is what the disk
gives, not what came in. Only then the workshop says that it is kept, and no phone frees a photo on
less. So a byte is hashed once, and nothing need be known of a half between its pieces.
"""

import fcntl
import hashlib
import hmac
import os
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from twoturns.ledger.forms import KEY, is_formed
from twoturns.store import files
from twoturns.store.blobs import Blobs
from twoturns.store.errors import UploadRefused, WorkshopFull
from twoturns.words import t
from twoturns.words.en.store import uploads as words

MAX_BYTES = 256 * 2**20
HALVES_A_DEVICE = 8  # a phone sends one photo after the other; no device fills the disk with halves
STALE_SECONDS = 30 * 86_400


@dataclass(frozen=True)
class Checksum:
    """What one piece must hash to: `algorithm` is `sha1` or `sha256`."""

    algorithm: str
    digest: bytes


@dataclass(frozen=True)
class Progress:
    """How far an upload has come."""

    offset: int
    length: int

    @property
    def is_complete(self) -> bool:
        return self.offset == self.length


class Uploads:
    """The partial files. `floor_bytes` of the disk stay free for entries, which are small."""

    def __init__(self, folder: Path, blobs: Blobs, floor_bytes: int) -> None:
        self.folder, self.blobs, self.floor_bytes = folder, blobs, floor_bytes

    def progress(self, device: str, sha256: str) -> Progress | None:
        """Return how far this device's upload has come, or None if it has not begun."""
        path = self._find(device, sha256)
        size = None if path is None else _size(path)
        return None if path is None or size is None else Progress(size, _length(path))

    @files.full_disk_is_told
    def begin(self, device: str, sha256: str, length: int) -> Progress:
        """
        Begin an upload, or go on with the one of the same length.

        Raises:
            UploadRefused: `upload-busy`, if a half of another length is being written.
            WorkshopFull: If the rest of it would take the disk below the floor.
        """
        found = self._find(device, sha256)
        if found is not None and _length(found) != length:
            _remove(found)  # one of the two lengths is wrong, so this half leads nowhere
            found = None
        done = None if found is None else _size(found)
        self._keep_floor_free(length - (done or 0))
        if done is None:
            folder = self._folder(device)
            folder.mkdir(exist_ok=True)
            (folder / f"{sha256}.{length}").touch()
            self._drop_oldest(folder)
        return Progress(done or 0, length)

    @files.full_disk_is_told
    def append(
        self,
        device: str,
        sha256: str,
        offset: int,
        pieces: Iterable[bytes],
        checksum: Checksum | None = None,
    ) -> Progress:
        """
        Write what arrives at the offset, and return the new progress. It is not kept by that.

        What arrived before the line broke is kept, unless a checksum was promised for the whole
        piece: then it is all or nothing.

        Raises:
            UploadRefused: `no-upload`, `upload-busy`, `wrong-offset`, `upload-too-long`,
                `wrong-checksum`.
            WorkshopFull: If the disk is at its floor.
        """
        path = self._find(device, sha256)
        if path is None:
            raise _no_upload(sha256)
        with _locked(path) as file:
            before = Progress(os.fstat(file).st_size, _length(path))
            if offset != before.offset:
                raise UploadRefused(
                    t(words.WRONG_OFFSET, offset=offset, stands=before.offset),
                    code="wrong-offset",
                    hint=t(words.WRONG_OFFSET_HINT),
                )
            self._keep_floor_free(before.length - offset)
            return Progress(_write(file, before, pieces, checksum), before.length)

    @files.full_disk_is_told
    def finish(self, device: str, sha256: str) -> None:
        """
        Make the whole file durable, check what the disk gives back against its name, and put it
        among the blobs.

        Raises:
            UploadRefused: `wrong-hash`; the half is removed, because no byte of it can be trusted.
                `no-upload` or `upload-busy`, if another request of the device has it.
        """
        path = self._find(device, sha256)
        if path is None:
            if self.blobs.has_whole(sha256):
                self.blobs.make_name_durable(sha256)
                return  # the same request, heard twice, has finished it already
            raise _no_upload(sha256)
        with _locked(path) as file:
            os.fsync(file)
            if _read_back(path) != sha256:
                path.unlink()
                raise UploadRefused(
                    t(words.WRONG_HASH, sha256=sha256[:12]),
                    code="wrong-hash",
                    hint=t(words.WRONG_HASH_HINT),
                )
            self.blobs.take(path, sha256)

    def drop(self, device: str, sha256: str) -> None:
        """Forget an upload in progress, unless another request is writing it."""
        path = self._find(device, sha256)
        if path is not None:
            with suppress(UploadRefused):
                _remove(path)

    def forget(self, sha256: str) -> None:
        """Remove what any device has sent of a blob that was erased."""
        for path in self.folder.glob(f"*/{sha256}.*"):
            with suppress(UploadRefused):
                _remove(path)

    def sweep(self) -> None:
        """Remove halves that nobody went on with for 30 days: the phone begins anew."""
        for touched_ns, path in _by_age(self.folder.glob("*/*")):
            if time.time() - touched_ns / 1e9 > STALE_SECONDS:
                with suppress(UploadRefused):
                    _remove(path)

    def _drop_oldest(self, folder: Path) -> None:
        for _, path in _by_age(folder.iterdir())[:-HALVES_A_DEVICE]:
            with suppress(UploadRefused):
                _remove(path)

    def _keep_floor_free(self, wanted_bytes: int) -> None:
        free = files.free_bytes(self.folder)
        if free - wanted_bytes < self.floor_bytes:
            raise WorkshopFull(free)

    def _folder(self, device: str) -> Path:
        if not is_formed(device, KEY):
            raise ValueError(t(words.NOT_THUMBPRINT, device=f"{device!r}"))
        return self.folder / device

    def _find(self, device: str, sha256: str) -> Path | None:
        self.blobs.path(sha256)  # refuses a name that is not a sha256
        return next(self._folder(device).glob(f"{sha256}.*"), None)


def _by_age(paths: Iterable[Path]) -> list[tuple[int, Path]]:
    """Return files with the time they were last written, the oldest first."""
    found = []
    for path in paths:
        with suppress(FileNotFoundError):  # another request may just have finished it
            found.append((path.stat().st_mtime_ns, path))
    return sorted(found)


def _no_upload(sha256: str) -> UploadRefused:
    return UploadRefused(
        t(words.NO_UPLOAD_BEGUN, sha256=sha256[:12]),
        code="no-upload",
        hint="Begin the upload again; nothing of it is lost on the phone.",
    )


def _length(path: Path) -> int:
    return int(path.suffix[1:])


def _size(path: Path) -> int | None:
    try:
        return path.stat().st_size
    except FileNotFoundError:
        return None  # another request has finished or dropped it


def _remove(path: Path) -> None:
    with _locked(path):
        path.unlink()


@contextmanager
def _locked(path: Path) -> Iterator[int]:
    """
    Open a partial file for one request: the one before may still be dying on a dead line.

    Raises:
        UploadRefused: `upload-busy`, or `no-upload` if another request took it away meanwhile.
    """
    try:
        file = os.open(path, os.O_RDWR | os.O_APPEND)
    except FileNotFoundError:
        raise _no_upload(path.stem) from None
    try:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise UploadRefused(
                t(words.UPLOAD_BUSY),
                code="upload-busy",
                hint=t(words.UPLOAD_BUSY_HINT),
            ) from None
        if not _is_at(file, path):
            raise _no_upload(path.stem)
        yield file
    finally:
        os.close(file)


def _is_at(file: int, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(file), path.stat())
    except FileNotFoundError:
        return False


def _read_back(path: Path) -> str:
    """Return the SHA-256 of a file that was flushed, as the disk gives it back."""
    files.forget_cached(path)
    with path.open("rb", buffering=0) as whole:
        return hashlib.file_digest(whole, "sha256").hexdigest()


def _write(file: int, before: Progress, pieces: Iterable[bytes], checksum: Checksum | None) -> int:
    """Append the pieces and return the new offset. Anything refused leaves the file as it was."""
    digest = hashlib.new(checksum.algorithm, usedforsecurity=False) if checksum else None
    offset = before.offset
    try:
        for piece in pieces:
            if offset + len(piece) > before.length:
                raise UploadRefused(
                    t(words.TOO_MANY_BYTES, length=before.length),
                    code="upload-too-long",
                    hint="Begin the upload again with its true length.",
                )
            files.write_all(file, piece)
            offset += len(piece)
            if digest is not None:
                digest.update(piece)
        if digest is not None and checksum is not None:
            _check(digest.digest(), checksum)
    except BaseException:
        os.ftruncate(file, before.offset)
        raise
    return offset


def _check(found: bytes, checksum: Checksum) -> None:
    if not hmac.compare_digest(found, checksum.digest):
        raise UploadRefused(
            t(words.WRONG_CHECKSUM, algorithm=checksum.algorithm),
            code="wrong-checksum",
            hint=t(words.WRONG_CHECKSUM_HINT),
        )
