"""A lock between the processes of a run, and between runs in one folder."""

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Let one process at a time work in a folder; the system takes the lock off one that dies."""
    held = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(held, fcntl.LOCK_EX)
        yield
    finally:
        os.close(held)
