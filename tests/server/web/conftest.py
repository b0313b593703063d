from pathlib import Path

import pytest

from workshop import Workshop, clients


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path / "data")


@pytest.fixture
def open_client(workshop):
    """Return a client of the workshop's app: signed in, if a phone is given."""
    return clients(workshop)
