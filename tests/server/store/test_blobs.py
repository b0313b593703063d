"""Small blobs that come together are written side by side, and each as one alone is."""

import hashlib
import os
import threading

import pytest

from twoturns.store import files
from twoturns.store.errors import WorkshopFull
from workshop import Workshop

VALUES = [f"value {number}".encode() for number in range(12)]
NAMES = [hashlib.sha256(value).hexdigest() for value in VALUES]


@pytest.fixture
def blobs(tmp_path):
    return Workshop(tmp_path / "data").store.blobs


def test_each_is_kept_under_its_hash_in_the_order_asked(blobs):
    blobs.put(VALUES[3])
    assert blobs.put_all([*VALUES, VALUES[0]]) == [*NAMES, NAMES[0]]
    assert [blobs.read(name) for name in NAMES] == VALUES
    assert list(blobs.temporary.iterdir()) == []
    assert blobs.put_all([]) == []


def test_they_wait_for_the_disk_together(blobs, monkeypatch):
    """Each write waits here for another one: one after the other would never end."""
    meeting, write_new = threading.Barrier(2, timeout=20), files.write_new

    def write(path, data):
        meeting.wait()
        write_new(path, data)

    monkeypatch.setattr(files, "write_new", write)
    blobs.put_all(VALUES)
    assert blobs.read(NAMES[-1]) == VALUES[-1]


@pytest.mark.parametrize("name", ["fsync", "replace"])
def test_where_one_cannot_be_written_all_are_said_not_to_be(blobs, monkeypatch, name):
    work, calls = getattr(os, name), iter(range(100))

    def full(*args):
        if next(calls) == 5:
            raise OSError(28, "no space left")
        return work(*args)

    monkeypatch.setattr(os, name, full)
    with pytest.raises(WorkshopFull):
        blobs.put_all(VALUES)
    assert list(blobs.temporary.iterdir()) == []
    assert blobs.put_all(VALUES) == NAMES  # and all of it again, once there is room
