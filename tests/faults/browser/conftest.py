"""No test of a browser may hang for ever; a rig is a phone, a bad line and a workshop."""

from collections.abc import Iterator

import pytest

from browser.patience import no_test_hangs_for_ever
from faults.browser.rig import Rig, new_rig
from faults.proxy import Proxy

__all__ = ["no_test_hangs_for_ever"]


@pytest.fixture
def proxy(tiny_workshop) -> Iterator[Proxy]:
    one = Proxy(tiny_workshop.port)
    yield one
    one.close()


@pytest.fixture
def rig(playwright, tiny_workshop, film, tmp_path) -> Iterator[Rig]:
    """An enrolled phone behind a line of ours; the workshop is the run's own: it stays alive."""
    one = new_rig(playwright, tiny_workshop, film, tmp_path)
    one.join()
    yield one
    one.proxy.close()
