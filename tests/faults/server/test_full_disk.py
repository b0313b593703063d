"""
The workshop's disk is really full: a small tmpfs, filled to its last page.

Photos are refused with 507 and wait; entries go on down to the last bytes of the floor, and what
was acknowledged is there when room is made. Needs the right to mount; without it nothing here runs.
"""

import base64
import ctypes
import hashlib
import os
from contextlib import contextmanager
from pathlib import Path

import pytest

from twoturns.store import Store
from twoturns.store.backup import back_up
from twoturns.store.errors import BackupFull
from twoturns.store.restore import restore
from workshop import Workshop, clients, opening, private_value, uuid7

MIB = 2**20
FLOOR = 2 * MIB
libc = ctypes.CDLL(None, use_errno=True)


@contextmanager
def mounted(folder: Path, size: int):
    """Mount a tmpfs of that size, or skip: no other disk of this machine may be filled."""
    folder.mkdir()
    target, options = str(folder).encode(), f"size={size}".encode()
    if libc.mount(b"none", target, b"tmpfs", 0, options) != 0:
        # Only root may mount, and a full disk of another's cannot be had.
        pytest.skip(f"NO FULL DISK TESTED: mount says {os.strerror(ctypes.get_errno())}")
    try:
        yield folder
    finally:
        libc.umount2(target, 2)  # at once, whoever still holds a file


@pytest.fixture
def disk(tmp_path):
    with mounted(tmp_path / "disk", 12 * MIB) as folder:
        yield folder


@pytest.fixture
def workshop(disk):
    made = Workshop(disk / "data")
    yield made
    made.store.database.close()


def fill(disk: Path, leave: int) -> Path:
    """Take all of the disk but that many bytes."""
    filler, free = disk / "filler", os.statvfs(disk).f_bavail * os.statvfs(disk).f_frsize
    with filler.open("ab") as file:
        file.write(bytes(max(0, free - leave)))
    return filler


def send_photo(client, photo: bytes):
    sha256 = hashlib.sha256(photo).hexdigest()
    said = f"sha256 {base64.b64encode(sha256.encode()).decode()}"
    begun = client.tus("POST", "/api/uploads", Upload_Length=str(len(photo)), Upload_Metadata=said)
    if begun.status_code != 201:
        return begun
    offset = int(begun.headers["Upload-Offset"])
    kind = {"Content_Type": "application/offset+octet-stream", "Upload_Offset": str(offset)}
    return client.tus("PATCH", f"/api/uploads/{sha256}", photo[offset:], **kind)


def test_photos_wait_below_the_floor_and_entries_and_small_values_go_on(workshop, disk):
    phone = workshop.enrol("mechanic")
    client = clients(workshop, floor_bytes=FLOOR)(phone)
    photo = os.urandom(MIB)
    filler = fill(disk, leave=FLOOR + MIB // 2)
    refused = send_photo(client, photo)
    assert (refused.status_code, refused.json["code"]) == (507, "workshop-full")
    for number in range(20):
        vin, plate = private_value("vin", f"TT {number}"), private_value("plate", "W")
        answer = client.push(
            phone.write("job.opened", opening(vin, plate), uuid7()), blobs=(vin, plate)
        )
        assert answer.json["refused"] == []
    filler.unlink()
    assert send_photo(client, photo).status_code == 204
    assert workshop.store.rebuild() == []


def test_a_disk_full_to_its_last_page_loses_nothing_that_was_acknowledged(workshop, disk):
    phone = workshop.enrol("mechanic")
    client = clients(workshop, floor_bytes=FLOOR)(phone)
    filler, job, taken, refused = fill(disk, leave=400_000), uuid7(), {}, []
    for _ in range(4000):
        said = [phone.write("job.taken", {}, job) for _ in range(20)]
        answer = client.push(*said)
        if answer.status_code == 200:
            taken.update(answer.json["indices"])
            continue
        assert (answer.status_code, answer.json["code"]) == (507, "workshop-full")
        refused.append(said)
        if len(refused) == 3:
            break
    assert len(refused) == 3
    assert taken
    store = Store(workshop.folder)  # a server that is started on the full disk
    assert store.ledger.size() == 3 + len(taken)
    store.database.close()
    filler.unlink()
    for said in refused:
        taken.update(client.push(*said).json["indices"])
    rows = workshop.store.database.rows('select id, "index" from records where "index" > 2')
    assert {row["id"]: row["index"] for row in rows} == taken
    assert workshop.store.rebuild() == []


def test_a_photo_that_fills_the_disk_on_its_way_in_stays_a_half_and_is_finished_later(
    workshop, disk
):
    client = clients(workshop, floor_bytes=0)(workshop.enrol("mechanic"))
    photo = os.urandom(4 * MIB)
    filler = fill(disk, leave=5 * MIB)
    sha256 = hashlib.sha256(photo).hexdigest()
    said = f"sha256 {base64.b64encode(sha256.encode()).decode()}"
    client.tus("POST", "/api/uploads", Upload_Length=str(len(photo)), Upload_Metadata=said)
    fill(disk, leave=2 * MIB)  # somebody else takes the room after the upload has begun
    assert send_photo(client, photo).status_code == 507
    assert not workshop.store.blobs.has(sha256)
    filler.unlink()
    assert send_photo(client, photo).status_code == 204
    assert workshop.store.blobs.is_whole(sha256)
    assert list(workshop.store.blobs.temporary.iterdir()) == []


def test_a_backups_disk_that_is_full_is_named_and_has_what_it_had(disk, tmp_path):
    workshop, backup = Workshop(tmp_path / "data"), disk / "backup"
    size = back_up(workshop.store, backup, workshop.now).size
    blob = workshop.store.blobs.put(os.urandom(2 * MIB))
    workshop.store.ledger.keep([blob], workshop.now)
    for leave in (2 * MIB + 8192, MIB, 8192):
        filler = fill(disk, leave)
        with pytest.raises(BackupFull, match="the disk of the backup is full"):
            back_up(workshop.store, backup, workshop.now)
        assert sorted(path.name for path in backup.glob("ledger*")) == [f"ledger-{size:012d}.db"]
        filler.unlink()
    made = back_up(workshop.store, backup, workshop.now)
    assert restore(backup, tmp_path / "put-back", size).size == size
    assert restore(backup, tmp_path / "newer").size == made.size
