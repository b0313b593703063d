"""No test of a browser may hang for ever; the fixtures that others share are in fixtures.py."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from browser.patience import no_test_hangs_for_ever
from browser.serving import ServedWorkshop, serving

__all__ = ["no_test_hangs_for_ever"]


@pytest.fixture
def workshop(tmp_path: Path) -> Iterator[ServedWorkshop]:
    """Procedures are published by the test."""
    with serving(tmp_path) as served:
        yield served
