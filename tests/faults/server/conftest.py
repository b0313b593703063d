import tempfile
from pathlib import Path

import pytest

from faults.server.acts import Scene
from workshop import Workshop


@pytest.fixture(scope="module")
def scene():
    """
    A workshop at work, in memory where there is such a folder.

    What dies is the process and not the machine, and to flush a real disk some thousand times
    would take a minute.
    """
    shared = Path("/dev/shm")  # noqa: S108 - a folder of our own
    with tempfile.TemporaryDirectory(dir=shared if shared.is_dir() else None) as folder:
        whole = Scene(Path(folder).resolve() / "root")
        yield whole
        whole.close()


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path / "data")
