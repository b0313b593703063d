"""Fixtures that several rooms' tests use."""

from collections.abc import Iterator

import pytest
from hypothesis import settings
from xdist.remote import Producer
from xdist.scheduler import LoadScopeScheduling

from peer import Peer, run_peer

pytest_plugins = ["browser.fixtures"]

# A deadline for each example would measure the other processes of a busy machine, not our code.
settings.register_profile("twoturns", deadline=None)
settings.load_profile("twoturns")


BROWSER = "browser"


def _scope_of(nodeid: str) -> str:
    path = nodeid.split("::", 1)[0]
    return BROWSER if f"/{BROWSER}/" in path else path


class _ByFile(LoadScopeScheduling):
    """
    What one process does in one piece when several share the run (`-n`).

    One has the browser, the app and the workshops that serve it, and begins with them at once;
    the others take what is left a file after the other, the fast ones first.
    """

    def _split_scope(self, nodeid: str) -> str:
        return _scope_of(nodeid)


def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> LoadScopeScheduling:
    return _ByFile(config, log)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if hasattr(config, "workerinput"):
        items.sort(key=lambda item: _scope_of(item.nodeid) != BROWSER)


@pytest.fixture(scope="session")
def peer() -> Iterator[Peer]:
    """The phone's code, running in Node. See tests/peer.py."""
    with run_peer() as running:
        yield running
