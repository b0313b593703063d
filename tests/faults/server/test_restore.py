"""
The workshop goes on from an old backup, and phones bring back what it lost.

The workshop key comes back to numbers it has used, the disk to photos it no longer has, and what
was erased since the backup lies there again. Nothing of it may show as a forged entry, count as
kept when it is not, or come back to be read.
"""

import base64
import hashlib
import shutil
from types import SimpleNamespace

import pytest

from twoturns.ledger import record
from twoturns.store import Store, book
from twoturns.store.backup import back_up
from twoturns.store.restore import restore as put_back
from workshop import NOON, clients, opening, private_value, ref, uuid7

PHOTO = b"\xff\xd8 a photo of the belt" * 500
SHA = hashlib.sha256(PHOTO).hexdigest()


@pytest.fixture
def backup(tmp_path):
    return tmp_path / "backup"


def send_photo(client, photo: bytes = PHOTO) -> None:
    """Send it as a phone does: nothing, if the workshop says that it has it."""
    sha256 = hashlib.sha256(photo).hexdigest()
    said = f"sha256 {base64.b64encode(sha256.encode()).decode()}"
    length = str(len(photo))
    begun = client.tus("POST", "/api/uploads", Upload_Length=length, Upload_Metadata=said)
    offset = int(begun.headers["Upload-Offset"])
    if offset < len(photo):
        kind = {"Content_Type": "application/offset+octet-stream", "Upload_Offset": str(offset)}
        assert client.tus("PATCH", f"/api/uploads/{sha256}", photo[offset:], **kind).data == b""


def lines_of(workshop) -> list[str]:
    """Return what a phone holds of others' entries, the workshop's own among them."""
    return [text.split(" ", 2)[2] for _, text in workshop.store.pages.page(0, limit=500).records]


def restore(workshop, backup) -> None:
    """Put the backup into a folder of its own, and its key into that."""
    folder = backup.parent / f"put-back-{len(list(backup.parent.iterdir()))}"
    put_back(backup, folder)
    live_on(workshop, folder)


def live_on(workshop, folder) -> None:
    shutil.copy(workshop.folder / "workshop.key", folder / "key")
    (folder / "key").rename(folder / "workshop.key")
    workshop.folder, workshop.store = folder, Store(folder)
    workshop.store.tidy()


def offer(workshop, lines, values=()) -> None:
    """Offer lines again, in the phone's small batches."""
    for start in range(0, len(lines), 5):
        receipt = workshop.store.ledger.append(
            lines[start : start + 5], [v.decode() for v in values], received=NOON, offset_ms=0
        )
        assert receipt.refused == []


def standings(workshop) -> dict[str, str]:
    rows = workshop.store.database.rows("select id, standing from entries")
    return {row["id"]: row["standing"] for row in rows}


def rows_of_all_views(workshop) -> dict[str, list]:
    names = ("entries", "kept", "erased", "backups", "jobs", "devices", "finders", "waits")
    rows = workshop.store.database.rows
    return {name: rows(f"select * from {name} order by 1, 2") for name in names}


def lived_on(workshop) -> tuple[list[str], list[bytes]]:
    """Let the workshop do all it does by itself, and return what the phones hold of it."""
    phone, values = workshop.enrol("mechanic"), []
    for number in range(3):
        vin, plate = private_value("vin", f"TT {number}"), private_value("plate", f"W {number}")
        workshop.push(phone.write("job.opened", opening(vin, plate), uuid7()), blobs=(vin, plate))
        values += [vin, plate]
    send_photo(clients(workshop)(phone))
    back_up(workshop.store, workshop.folder.parent / "another-disk", NOON)
    return lines_of(workshop), values


def test_a_tail_that_phones_bring_back_is_no_fork(workshop, backup):
    back_up(workshop.store, backup, NOON)
    lines, values = lived_on(workshop)
    restore(workshop, backup)
    workshop.enrol("mechanic")  # the console writes first: it must not take used numbers
    offer(workshop, lines, values)
    assert set(standings(workshop).values()) == {"good"}
    before = rows_of_all_views(workshop)
    workshop.store.rebuild()
    assert rows_of_all_views(workshop) == before


def test_a_ledger_put_back_by_other_means_is_found_out_by_its_own_signature(workshop, tmp_path):
    snapshot = tmp_path / "snapshot"
    shutil.copytree(workshop.folder, snapshot)
    lines, values = lived_on(workshop)
    live_on(workshop, snapshot)
    offer(workshop, lines, values)
    said = standings(workshop)
    assert set(said.values()) == {"good"}
    assert len(said) > len(lines)


def test_one_backup_restored_twice_gives_no_number_twice(workshop, backup):
    back_up(workshop.store, backup, NOON)
    restore(workshop, backup)
    workshop.enrol("mechanic")
    lines = lines_of(workshop)
    restore(workshop, backup)
    workshop.enrol("mechanic")
    offer(workshop, lines)
    assert set(standings(workshop).values()) == {"good"}


def test_the_ledger_says_for_ever_that_it_was_restored_and_from_what(workshop, backup):
    size = back_up(workshop.store, backup, NOON).size
    restore(workshop, backup)
    for _ in range(2):
        workshop.enrol("mechanic")
        workshop.store = Store(workshop.folder)
    said = [record.parse(text).entry for _, text in workshop.store.pages.page(0, limit=99).records]
    marks = [one for one in said if one.kind == "work.accepted"]
    assert [one.body["because"] for one in marks] == [
        f"The workshop goes on from a backup of {size} records."
    ] * 2
    assert marks[1].body["entries"] == [marks[0].id]


def test_a_photo_the_backup_lacks_is_asked_for_again_before_it_is_receipted(workshop, backup):
    back_up(workshop.store, backup, NOON)
    lines, _ = lived_on(workshop)
    restore(workshop, backup)
    phone = workshop.enrol("mechanic")
    offer(workshop, lines)
    # The record that the old disk kept the photo is back. The photo is not.
    client = clients(workshop)(phone)
    assert client.get(f"/api/blobs/{SHA}/receipt").status_code == 404
    send_photo(client)
    assert client.get(f"/api/blobs/{SHA}/receipt").status_code == 200
    assert workshop.store.blobs.is_whole(SHA)
    assert workshop.store.rebuild() == []


@pytest.mark.parametrize("leaps", [(1 << 39, 0, 0), (0, 1 << 39, 0)])
def test_what_the_first_of_two_restores_kept_is_not_kept_by_the_second(
    workshop, backup, monkeypatch, leaps
):
    chance = iter(leaps)
    monkeypatch.setattr(book, "secrets", SimpleNamespace(randbelow=lambda _: next(chance)))
    back_up(workshop.store, backup, NOON)
    restore(workshop, backup)
    send_photo(clients(workshop)(workshop.enrol("mechanic")))
    lines = lines_of(workshop)
    restore(workshop, backup)
    workshop.enrol("mechanic")
    offer(workshop, lines)
    assert workshop.store.views.kept_at(SHA) is None
    assert set(standings(workshop).values()) == {"good"}


def test_a_backup_of_the_lost_disk_covers_nothing_here(workshop, backup):
    back_up(workshop.store, backup, NOON)
    lines, values = lived_on(workshop)  # it ends with a backup to another disk
    restore(workshop, backup)
    offer(workshop, lines, values)
    assert workshop.store.views.backed_up("2026-11-24T12:00:00.000Z") == 0
    back_up(workshop.store, workshop.folder.parent / "third", NOON)
    assert workshop.store.views.backed_up("2026-11-24T12:00:00.000Z") == (
        workshop.store.ledger.size() - 1
    )


@pytest.fixture
def erased_later(workshop, backup):
    """A photo and a VIN, kept, backed up, and erased after the backup."""
    phone = workshop.enrol("mechanic")
    vin, plate = private_value("vin", "TT ERASED"), private_value("plate", "W 1")
    workshop.push(phone.write("job.opened", opening(vin, plate), uuid7()), blobs=(vin, plate))
    send_photo(clients(workshop)(phone))
    back_up(workshop.store, backup, NOON)
    said = [{"blob": blob, "reason": "asked", "basis": "law"} for blob in (SHA, ref(vin)["blob"])]
    orders = [workshop.store.ledger.state("blob.erased", body, NOON)[1] for body in said]
    return phone, vin, orders


def test_what_was_erased_after_the_backup_goes_again_when_the_order_comes_back(
    workshop, backup, erased_later
):
    phone, vin, orders = erased_later
    restore(workshop, backup)
    assert workshop.store.blobs.has(SHA)  # the backup has it: nobody has told this ledger yet
    offer(workshop, [one.line for one in orders])
    assert not workshop.store.blobs.has(SHA)
    assert not workshop.store.blobs.has(ref(vin)["blob"])
    assert workshop.store.views.find("vin", "TT ERASED") == []
    # A phone that still has them offers them again, and they do not come back.
    client = clients(workshop)(phone)
    said = {"sent_at": "2026-11-24T12:00:00.000Z", "lines": [], "blobs": [vin.decode()]}
    (refused,) = client.post("/api/entries", said).json["refused"]
    assert refused["code"] == "blob-erased"
    begun = client.tus(
        "POST",
        "/api/uploads",
        Upload_Length=str(len(PHOTO)),
        Upload_Metadata=f"sha256 {base64.b64encode(SHA.encode()).decode()}",
    )
    assert begun.json["code"] == "blob-erased"
    workshop.store.rebuild()
    assert not workshop.store.blobs.has(SHA)


def test_what_the_backup_knows_erased_is_gone_when_it_is_served_though_a_copy_has_it(
    workshop, backup, erased_later
):
    _, vin, _ = erased_later
    photo, value = (backup / "blobs" / sha[:2] / sha for sha in (SHA, ref(vin)["blob"]))
    kept = photo.read_bytes(), value.read_bytes()
    back_up(workshop.store, backup, NOON)
    assert not photo.exists()
    photo.write_bytes(kept[0])  # as an older copy laid over this one brings it
    value.write_bytes(kept[1])
    restore(workshop, backup)
    assert not workshop.store.blobs.has(SHA)
    assert not workshop.store.blobs.has(ref(vin)["blob"])
