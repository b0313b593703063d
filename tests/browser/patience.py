"""Playwright has calls that may never return: then say where, and end."""

from __future__ import annotations

import faulthandler
import os
from collections.abc import Iterator

import pytest

# Far above what any test takes: it only ends one that waits for ever.
LONGEST_S = 420


@pytest.fixture(autouse=True)
def no_test_hangs_for_ever(pytestconfig: pytest.Config) -> Iterator[None]:
    with pytestconfig.pluginmanager.getplugin("capturemanager").global_and_fixture_disabled():
        words = os.fdopen(os.dup(2), "w")
    faulthandler.dump_traceback_later(LONGEST_S, exit=True, file=words)
    yield
    faulthandler.cancel_dump_traceback_later()
    words.close()
