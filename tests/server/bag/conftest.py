"""A job that has something of everything, for all who read bags."""

import pytest

from bag_cuts import RichJob


@pytest.fixture(scope="module")
def rich(tmp_path_factory):
    """One for each module: some go on with it."""
    return RichJob(tmp_path_factory.mktemp("rich") / "data")
