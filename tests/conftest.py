"""Fixtures that several rooms' tests use."""

from collections.abc import Iterator

import pytest
from hypothesis import settings

from peer import Peer, run_peer

pytest_plugins = ["browser.fixtures", "schedule"]

# A deadline for each example would measure the other processes of a busy machine, not our code.
settings.register_profile("twoturns", deadline=None)
settings.load_profile("twoturns")


@pytest.fixture(scope="session")
def peer() -> Iterator[Peer]:
    """The phone's code, running in Node. See tests/peer.py."""
    with run_peer() as running:
        yield running
