import tempfile
from pathlib import Path

import pytest

from faults.server.acts import Scene
from twoturns.store import blobs
from workshop import Workshop


@pytest.fixture(scope="module")
def scene():
    """
    A workshop at work, in memory where there is such a folder.

    What dies is the process and not the machine, and to flush a real disk some thousand times
    would take a minute. Private values are written one after the other: two at a time, the n-th
    call of an act would be now this one, now that.
    """
    shared = Path("/dev/shm")  # noqa: S108 - a folder of our own
    with (
        pytest.MonkeyPatch.context() as patched,
        tempfile.TemporaryDirectory(dir=shared if shared.is_dir() else None) as folder,
    ):
        patched.setattr(blobs, "WRITERS", 1)
        whole = Scene(Path(folder).resolve() / "root")
        yield whole
        whole.close()


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path / "data")
