"""
Halves of uploads in a folder of this machine: `uploads/DEVICE/SHA.LENGTH`, a file that grows until
it is the blob.

The file's size is the offset; there is no second place that could disagree with it. Nobody writes
to a half, moves it or removes it without its lock. The whole is flushed once, when its last piece
is here and before it gets its name, and then read back: what must hash to the name is what the disk
gives, not what came in. So a byte is hashed once, and nothing need be known of a half between its
pieces.
"""

import fcntl
import hashlib
import os
import time
from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from twoturns.ledger.forms import KEY, is_formed
from twoturns.store import files
from twoturns.store.blob_folder import BlobFolder
from twoturns.store.blobs import require_name
from twoturns.store.errors import UploadRefused
from twoturns.store.uploads import (
    HALVES_A_DEVICE,
    STALE_SECONDS,
    Digest,
    Pieces,
    Progress,
    Uploads,
    no_upload,
    upload_busy,
    within,
    wrong_hash,
    wrong_offset,
)
from twoturns.words import t
from twoturns.words.en.store import uploads as words


class UploadFolder(Uploads):
    """The partial files."""

    def __init__(self, folder: Path, blobs: BlobFolder, floor_bytes: int) -> None:
        self.folder, self.blobs, self.floor_bytes = folder, blobs, floor_bytes

    def free_bytes(self) -> int:
        return files.free_bytes(self.folder)

    def progress(self, device: str, sha256: str) -> Progress | None:
        path = self._find(device, sha256)
        size = None if path is None else _size(path)
        return None if path is None or size is None else Progress(size, _length(path))

    @files.full_disk_is_told
    def begin(self, device: str, sha256: str, length: int) -> Progress:
        found = self._find(device, sha256)
        if found is not None and _length(found) != length:
            _remove(found)  # one of the two lengths is wrong, so this half leads nowhere
            found = None
        done = None if found is None else _size(found)
        self.keep_floor_free(length - (done or 0))
        if done is None:
            folder = self._folder(device)
            folder.mkdir(exist_ok=True)
            (folder / f"{sha256}.{length}").touch()
            self._drop_oldest(folder)
        return Progress(done or 0, length)

    @files.full_disk_is_told
    def append(
        self, device: str, sha256: str, offset: int, pieces: Pieces, checksum: Digest = None
    ) -> Progress:
        path = self._find(device, sha256)
        if path is None:
            raise no_upload(sha256)
        with _locked(path) as file:
            before = Progress(os.fstat(file).st_size, _length(path))
            if offset != before.offset:
                raise wrong_offset(offset, before.offset)
            self.keep_floor_free(before.length - offset)
            return Progress(_write(file, before, pieces, checksum), before.length)

    @files.full_disk_is_told
    def finish(self, device: str, sha256: str) -> None:
        path = self._find(device, sha256)
        if path is None:
            if self.blobs.has_whole(sha256):
                self.blobs.make_name_durable(sha256)
                return  # the same request, heard twice, has finished it already
            raise no_upload(sha256)
        with _locked(path) as file:
            os.fsync(file)
            if _read_back(path) != sha256:
                path.unlink()
                raise wrong_hash(sha256)
            self.blobs.take(path, sha256)

    def drop(self, device: str, sha256: str) -> None:
        path = self._find(device, sha256)
        if path is not None:
            with suppress(UploadRefused):
                _remove(path)

    def forget(self, blobs: Collection[str]) -> None:
        for sha256 in blobs:
            for path in self.folder.glob(f"*/{sha256}.*"):
                with suppress(UploadRefused):
                    _remove(path)

    def sweep(self) -> None:
        for touched_ns, path in _by_age(self.folder.glob("*/*")):
            if time.time() - touched_ns / 1e9 > STALE_SECONDS:
                with suppress(UploadRefused):
                    _remove(path)

    def _drop_oldest(self, folder: Path) -> None:
        for _, path in _by_age(folder.iterdir())[:-HALVES_A_DEVICE]:
            with suppress(UploadRefused):
                _remove(path)

    def _folder(self, device: str) -> Path:
        if not is_formed(device, KEY):
            raise ValueError(t(words.NOT_THUMBPRINT, device=f"{device!r}"))
        return self.folder / device

    def _find(self, device: str, sha256: str) -> Path | None:
        return next(self._folder(device).glob(f"{require_name(sha256)}.*"), None)


def _by_age(paths: Iterable[Path]) -> list[tuple[int, Path]]:
    """Return files with the time they were last written, the oldest first."""
    found = []
    for path in paths:
        with suppress(FileNotFoundError):  # another request may just have finished it
            found.append((path.stat().st_mtime_ns, path))
    return sorted(found)


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
        raise no_upload(path.stem) from None
    try:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise upload_busy() from None
        if not _is_at(file, path):
            raise no_upload(path.stem)
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


def _write(file: int, before: Progress, pieces: Pieces, checksum: Digest) -> int:
    """Append the pieces and return the new offset. Anything refused leaves the file as it was."""
    offset = before.offset
    try:
        for piece in within(before, pieces, checksum):
            files.write_all(file, piece)
            offset += len(piece)
    except BaseException:
        os.ftruncate(file, before.offset)
        raise
    return offset
