"""A folder that is locked, shut or damaged is called what it is: only damage asks for a backup."""

import ctypes
import os
import sqlite3

import pytest

from twoturns.store import Store, database
from twoturns.store.errors import Damaged, WorkshopLocked, WorkshopShut
from workshop import Workshop, clients, uuid7

MS_REMOUNT, MS_RDONLY, MNT_DETACH = 32, 1, 2  # mount(2), umount2(2)
libc = ctypes.CDLL(None, use_errno=True)


@pytest.fixture
def held(workshop, monkeypatch):
    """The ledger's file, in the hands of another program that does not let go."""
    monkeypatch.setattr(database, "WAIT_SECONDS", 0.05)
    other = sqlite3.connect(workshop.folder / "ledger.db", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    yield other
    other.close()


@pytest.mark.embedded("it holds SQLite's file")
def test_a_locked_ledger_is_said_to_be_locked_and_takes_the_same_push_later(workshop, held):
    held.execute("ROLLBACK")
    phone = workshop.enrol("mechanic")
    client = clients(workshop)(phone)
    # Opened before the wait was made short.
    client.app.extensions["twoturns"].served.store.database.close()
    held.execute("BEGIN IMMEDIATE")
    workshop.store.database.close()
    with pytest.raises(WorkshopLocked, match="another program"):
        workshop.store.ledger.state("retention.set", {"days": 400}, workshop.now)
    said = phone.write("job.taken", {}, uuid7())
    answer = client.push(said)
    assert (answer.status_code, answer.json["code"]) == (503, "workshop-locked")
    assert "restore" not in answer.json["hint"]
    held.execute("ROLLBACK")
    assert client.push(said).json["refused"] == []


@pytest.fixture
def shut_disk(tmp_path):
    """A small disk with a workshop on it, and what mounts it for reading only."""
    folder = tmp_path / "disk"
    folder.mkdir()
    name = str(folder).encode()
    if libc.mount(b"none", name, b"tmpfs", 0, b"size=8388608") != 0:
        # Only root may mount, and root may write whatever the rights of a folder say.
        pytest.skip(f"NO SHUT DISK TESTED: mount says {os.strerror(ctypes.get_errno())}")
    workshop = Workshop(folder / "data")

    def shut():
        workshop.store.database.close()
        assert libc.mount(b"none", name, b"tmpfs", MS_REMOUNT | MS_RDONLY, None) == 0

    yield workshop, shut
    workshop.store.database.close()
    libc.umount2(name, MNT_DETACH)


@pytest.mark.embedded("the ledger lies in the folder")
def test_a_folder_that_may_only_be_read_is_said_to_be_shut(shut_disk):
    workshop, shut = shut_disk
    shut()
    with pytest.raises(WorkshopShut, match="cannot be opened or written") as told:
        Store(workshop.folder).ledger.state("retention.set", {"days": 400}, workshop.now)
    assert "restore" not in told.value.hint


@pytest.mark.embedded("it changes the bytes of SQLite's file")
@pytest.mark.parametrize("first", [0, 100])
def test_a_torn_file_is_said_to_be_damaged(workshop, first):
    workshop.store.database.close()
    path = workshop.folder / "ledger.db"
    data = bytearray(path.read_bytes())
    data[first : first + 3000] = b"\xff" * 3000
    path.write_bytes(data)
    with pytest.raises(Damaged, match="damaged") as told:
        Store(workshop.folder).rebuild()
    assert "twoturns restore" in told.value.hint
