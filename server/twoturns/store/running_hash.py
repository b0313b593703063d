"""
The SHA-256 of a file while it is written: one piece is hashed while the next comes in.

Hashing lets go of the interpreter, so another thread does it beside who reads the line and writes.
"""

import hashlib
from concurrent.futures import Future, ThreadPoolExecutor

THREADS = 2
SMALL_BYTES = 1 << 16  # handing a piece to another thread costs as much as hashing so many


def hashing_threads() -> ThreadPoolExecutor:
    """Return threads that hash for all uploads of a process. None is there before it is needed."""
    return ThreadPoolExecutor(THREADS, thread_name_prefix="hash")


class RunningHash:
    """Hashes pieces in their order, the newest perhaps still when `update` has returned."""

    def __init__(self, threads: ThreadPoolExecutor) -> None:
        self._threads, self._sha256 = threads, hashlib.sha256()
        self._busy: Future[None] | None = None

    def update(self, piece: bytes) -> None:
        """Go on with a piece, once the one before is done: never more than one is held."""
        self._wait()
        if len(piece) < SMALL_BYTES:
            self._sha256.update(piece)
        else:
            self._busy = self._threads.submit(self._sha256.update, piece)

    def hexdigest(self) -> str:
        """Return the hash of all pieces so far."""
        self._wait()
        return self._sha256.hexdigest()

    def _wait(self) -> None:
        if self._busy is not None:
            self._busy.result()
            self._busy = None
