import pytest

from workshop import clients


@pytest.fixture
def open_client(workshop):
    """Return a client of the workshop's app: signed in, if a phone is given."""
    return clients(workshop)
