"""Fixtures that several rooms' tests use."""

from collections.abc import Iterator

import pytest
from hypothesis import settings

from peer import Peer, run_peer

pytest_plugins = ["browser.fixtures"]

# A deadline for each example would measure the other processes of a busy machine, not our code.
settings.register_profile("twoturns", deadline=None)
settings.load_profile("twoturns")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """
    Say which tests stay in one process when several share the run (`-n`).

    One has the browser, the app and the workshops that serve it, and begins with them at once;
    the others take what is left a file after the other, the fast ones first.
    """
    for item in items:
        group = "browser" if _drives_a_browser(item) else item.path.stem
        item.add_marker(pytest.mark.xdist_group(group))
    if hasattr(config, "workerinput"):
        items.sort(key=lambda item: not _drives_a_browser(item))


def _drives_a_browser(item: pytest.Item) -> bool:
    return isinstance(item, pytest.Function) and "chromium_is_there" in item.fixturenames


@pytest.fixture(scope="session")
def peer() -> Iterator[Peer]:
    """The phone's code, running in Node. See tests/peer.py."""
    with run_peer() as running:
        yield running
