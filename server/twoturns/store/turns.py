"""
Who of a process's threads goes on: Python runs one at a time, and takes turns at every statement.

While one writes, whoever else writes waits, in this process and in others. With phones sending, the
threads that read what came took the interpreter from it at each of its statements, and it had the
ledger for seven times as long as its work takes. So they stand aside as long as one writes, and one
reads at a time: several at once take longer for all of it.
"""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager


class Turns:
    """The turns of one process's threads at reading what came in, and at writing it."""

    def __init__(self) -> None:
        self._reading = threading.Lock()
        self._nobody_writes = threading.Event()
        self._nobody_writes.set()

    @contextmanager
    def reading(self) -> Iterator[Callable[[], object]]:
        """Read alone. What it gives is to be called often: it waits as long as somebody writes."""
        with self._reading:
            yield self._give_way

    def _give_way(self) -> None:
        if not self._nobody_writes.is_set():  # to wait takes a lock, even while nobody writes
            self._nobody_writes.wait()

    @contextmanager
    def writing(self) -> Iterator[None]:
        """Have those who read stand aside. One at a time writes (`Transactions`)."""
        self._nobody_writes.clear()
        try:
            yield
        finally:
            self._nobody_writes.set()
