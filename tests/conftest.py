"""Fixtures that several rooms' tests use."""

from collections.abc import Iterator

import pytest

from peer import Peer, run_peer


@pytest.fixture(scope="session")
def peer() -> Iterator[Peer]:
    """The phone's code, running in Node. See tests/peer.py."""
    with run_peer() as running:
        yield running
