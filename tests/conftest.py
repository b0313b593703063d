"""Settings of the whole run, and fixtures that several rooms' tests use."""

import gc
import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from peer import Peer, run_peer

pytest_plugins = [
    "ledgers",
    "browser.failed",
    "browser.fixtures",
    "postgres",
    "schedule",
    "seaweed",
]

# A deadline for each example would measure the other processes of a busy machine, not our code.
settings.register_profile("twoturns", deadline=None)
settings.load_profile("twoturns")

MEMORY = Path("/dev/shm")  # noqa: S108 - pytest makes a folder of the user's own in it
ROOM = 4 << 30


def pytest_configure() -> None:
    """
    Put the tests' folders into memory, where there is enough: nothing waits for a disk to flush.

    No test takes the power away, so none could tell the difference.
    """
    if MEMORY.is_dir() and shutil.disk_usage(MEMORY).free > ROOM:
        os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(MEMORY))


def pytest_collection_finish() -> None:
    """
    Let the garbage collector leave alone what was there before the tests, and come less often.

    Thousands of tests and what they import stay to the end: to look through them again and again
    for what is free took a twentieth of the time of those that walk many states.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)


@pytest.fixture(scope="session")
def peer() -> Iterator[Peer]:
    """The phone's code, running in Node. See tests/peer.py."""
    with run_peer() as running:
        yield running
