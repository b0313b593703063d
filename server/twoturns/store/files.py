"""
Durable file operations: nothing is called written before the disk has it.

The order is always the same: write, fsync the file, rename, fsync the folder. A plain write
under the final name left torn files when the process was killed; this order left none.
Every call goes through `os.write`, `os.fsync` and `os.replace`, so that a test can let the
n-th of them fail.
"""

import errno
import fcntl
import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import wraps
from pathlib import Path
from typing import BinaryIO, ParamSpec, TypeVar

from twoturns.store.errors import WorkshopFull

P = ParamSpec("P")
R = TypeVar("R")
Identity = tuple[int, int, int, int]


def full_disk_is_told(work: Callable[P, R]) -> Callable[P, R]:
    """Turn "no space left", SQLite's too, into `WorkshopFull`; other failures pass as they are."""

    @wraps(work)
    def told(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return work(*args, **kwargs)
        except (OSError, sqlite3.OperationalError) as error:
            if is_full(error):
                raise WorkshopFull from error
            raise

    return told


def is_full(error: OSError | sqlite3.OperationalError) -> bool:
    """Say whether a failure is the disk's having no room."""
    if isinstance(error, sqlite3.OperationalError):
        return error.sqlite_errorcode == sqlite3.SQLITE_FULL
    return error.errno in (errno.ENOSPC, errno.EDQUOT)


def write_all(file: int, data: bytes) -> None:
    """Write every byte: one `os.write` may take fewer than it is given."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(file, rest) :]


def read_at_most(file: BinaryIO, most: int) -> bytes:
    """Read a file's first bytes, or all. Room for `most` of a few would be asked for in vain."""
    size = file.seek(0, os.SEEK_END)
    file.seek(0)
    return file.read(min(most, size))


def sync_folder(folder: Path) -> None:
    """Make the names in a folder durable: a renamed file is lost with its folder's entry."""
    file = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(file)
    finally:
        os.close(file)


def write_new(path: Path, data: bytes, mode: int = 0o644) -> None:
    """
    Write a file that is not there yet, and make its bytes durable; its name is up to the caller.

    Raises:
        FileExistsError: If something has that name already.
    """
    file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    try:
        try:
            write_all(file, data)
            os.fsync(file)
        finally:
            os.close(file)
    except BaseException:
        path.unlink()  # a partial file under its name would be taken for the whole one
        raise


def move_into_place(temporary: Path, final: Path) -> None:
    """Give a synced temporary file its final name, durably."""
    temporary.replace(final)
    sync_folder(final.parent)


def write_anew(path: Path, data: bytes, mode: int = 0o644) -> None:
    """Write a small file in place of another, durably: at every moment one of them is there."""
    temporary = path.with_name(f"{path.name}.new")
    temporary.unlink(missing_ok=True)
    write_new(temporary, data, mode)
    move_into_place(temporary, path)


def identity(file: int) -> Identity:
    """Return what tells an open file as it is now from another, or from itself written to since."""
    stat = os.fstat(file)
    return stat.st_ino, stat.st_size, stat.st_mtime_ns, stat.st_ctime_ns


def forget_cached(path: Path) -> None:
    """
    Ask the system to let go of what it holds of a file in memory, so that reading reads the disk.

    Only what was synced is let go of, and a disk may have a memory of its own: a hint, no proof.
    """
    if hasattr(os, "posix_fadvise"):
        with path.open("rb") as file:
            os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)


def free_bytes(folder: Path) -> int:
    """Return the bytes still free on the disk that holds the folder."""
    return shutil.disk_usage(folder).free


@contextmanager
def alone(path: Path) -> Iterator[bool]:
    """Say whether this is the only process at it; the place is free when it ends, however."""
    file = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            yield True
        except BlockingIOError:
            yield False
    finally:
        os.close(file)


class AtWork:
    """
    Says at a place, for as long as it is held, that somebody is at work; nothing is said where it
    cannot be written: a folder that is read alone, or a full disk. Work itself will say so.

    Raises:
        BlockingIOError: If somebody wants to be alone at it (`alone`).
    """

    _file: int | None = None

    def __init__(self, path: Path) -> None:
        with suppress(OSError):
            self._file = os.open(path, os.O_RDONLY | os.O_CREAT, 0o600)
        if self._file is not None:
            fcntl.flock(self._file, fcntl.LOCK_SH | fcntl.LOCK_NB)

    def end(self) -> None:
        """Let go."""
        if self._file is not None:
            os.close(self._file)
        self._file = None

    def __del__(self) -> None:
        self.end()


@contextmanager
def in_turn(path: Path) -> Iterator[None]:
    """Be the only one at it, of all threads and processes; wait until that is so."""
    file = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield
    finally:
        os.close(file)
