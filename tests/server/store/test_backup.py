"""What a backup holds, what it never holds, and that a workshop lives on from one."""

import shutil
import stat

import pytest

from twoturns.ledger import checkpoint
from twoturns.store import Store
from twoturns.store.backup import back_up
from twoturns.store.errors import Damaged, StoreError, WrongKey
from workshop import NOON, Workshop, opening, private_value, ref, uuid7


@pytest.fixture
def target(tmp_path):
    return tmp_path / "other-disk" / "backup"


def test_a_backup_is_a_data_folder_without_the_key_and_the_sessions(workshop, target):
    phone = workshop.enrol("mechanic")
    workshop.open_job(phone)
    workshop.store.sessions.start(phone.id, NOON)
    size = workshop.store.ledger.size()
    assert back_up(workshop.store, target, NOON) == size
    assert workshop.store.views.backed_up("2026-11-24T12:00:00.000Z") == size

    names = {path.name for path in target.iterdir()}
    assert names == {"ledger.db", "blobs", "uploads"}
    assert stat.S_IMODE(target.stat().st_mode) == 0o700
    with pytest.raises(WrongKey, match=r"workshop\.key is missing"):
        Store(target)
    shutil.copy(workshop.folder / "workshop.key", target)
    restored = Store(target)
    assert restored.database.rows("select * from sessions") == []
    assert restored.ledger.size() == size
    assert restored.ledger.root_at(size) == workshop.store.ledger.root_at(size)
    assert restored.rebuild() == []


def test_a_restored_workshop_is_rewound_and_takes_again_what_it_lacks(workshop, target):
    phone = workshop.enrol("mechanic")
    job = workshop.open_job(phone)
    back_up(workshop.store, target, NOON)
    vin, plate = private_value("vin", "TT 9"), private_value("plate", "W 9")
    later = phone.write("job.opened", opening(vin, plate), uuid7())
    note = phone.write("job.taken", {}, job)
    receipt = workshop.push(later, note, blobs=(vin, plate))
    newcomer = workshop.enrol("mechanic")
    seen = checkpoint.open(
        receipt.checkpoint, workshop.store.ledger.key, workshop.store.ledger.workshop
    )
    # What a phone holds of others' entries, the workshop's own among them.
    records = workshop.store.ledger.page(0, limit=100).records
    lines = [text.split(" ", 2)[2] for _, text in records]

    shutil.copy(workshop.folder / "workshop.key", target)
    workshop.store = Store(target)
    assert workshop.store.ledger.root_at(seen.size) != seen.root
    again = workshop.store.ledger.append(
        lines, [vin.decode(), plate.decode()], received=NOON, offset_ms=0
    )
    assert again.refused == []
    assert workshop.store.views.device(newcomer.id) is not None  # its invitation came back too
    assert workshop.store.views.kept_at(ref(vin)["blob"]) is not None
    assert workshop.store.rebuild() == []


def test_a_damaged_blob_stops_the_backup_before_it_is_believed(workshop, target):
    blob = workshop.store.blobs.put(b"a photo")
    workshop.store.ledger.keep([blob], NOON)
    workshop.store.blobs.path(blob).write_bytes(b"a phot0")
    size = workshop.store.ledger.size()
    with pytest.raises(Damaged, match=blob):
        back_up(workshop.store, target, NOON)
    assert workshop.store.ledger.size() == size
    assert not (target / "ledger.db").exists()
    workshop.store.blobs.path(blob).unlink()
    with pytest.raises(Damaged, match="missing"):
        back_up(workshop.store, target, NOON)


def test_a_blob_damaged_in_the_backup_is_copied_anew(workshop, target):
    blob = workshop.store.blobs.put(b"a photo")
    workshop.store.ledger.keep([blob], NOON)
    back_up(workshop.store, target, NOON)
    copy = target / "blobs" / blob[:2] / blob
    copy.write_bytes(b"rot")
    back_up(workshop.store, target, NOON)
    assert copy.read_bytes() == b"a photo"


def test_what_was_erased_leaves_the_backup_too(workshop, target):
    blob = workshop.store.blobs.put(b"a photo")
    workshop.store.ledger.keep([blob], NOON)
    back_up(workshop.store, target, NOON)
    erased = {"blob": blob, "reason": "asked", "basis": "law"}
    workshop.store.ledger.state("blob.erased", erased, NOON)
    back_up(workshop.store, target, NOON)
    assert not (target / "blobs" / blob[:2] / blob).exists()


def test_a_backup_inside_the_data_folder_is_none(workshop: Workshop):
    with pytest.raises(StoreError, match="inside"):
        back_up(workshop.store, workshop.folder / "backup", NOON)
