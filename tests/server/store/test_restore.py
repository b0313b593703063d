"""A workshop put back from a backup: whole, checked, marked, and only into a new folder."""

import shutil
import sqlite3
from datetime import timedelta

import pytest
from click.testing import CliRunner

from twoturns.cli import main
from twoturns.ledger import checkpoint
from twoturns.store import Store, files
from twoturns.store.backup import back_up
from twoturns.store.draft import Draft
from twoturns.store.drafts import NEW, Drafts
from twoturns.store.errors import Damaged, NotAWorkshop, StoreError, WrongKey
from twoturns.store.restore import restore
from twoturns.store.scrub import wanted
from twoturns.store.working_files import replace_working_files
from workshop import NOON, opening, private_value, ref, rows_of_table, uuid7


@pytest.fixture
def target(tmp_path):
    return tmp_path / "other-disk" / "backup"


@pytest.fixture
def new(tmp_path):
    return tmp_path / "new"


def opened(workshop, folder) -> Store:
    """Open a restored folder with the key that was kept apart."""
    with pytest.raises(WrongKey, match=r"workshop\.key is missing"):
        Store(folder)
    shutil.copy(workshop.folder / "workshop.key", folder)
    return Store(folder)


def rows_of(store: Store) -> dict[str, list]:
    names = ("records", "nodes", "entries", "kept", "jobs", "devices", "finders", "sessions")
    return {name: rows_of_table(store, name) for name in names}


def test_a_restored_workshop_is_the_one_that_was_backed_up(workshop, target, new):
    workshop.open_job(workshop.enrol("mechanic"))
    before = rows_of(workshop.store)
    size = back_up(workshop.store, target, NOON).size
    restored = restore(target, new)
    assert (restored.size, restored.missing) == (size, ())
    assert restored.received == "2026-11-24T12:00:00.000Z"
    assert {path.name for path in new.iterdir()} == {"ledger.db", "blobs", "uploads"}
    store = opened(workshop, new)
    assert rows_of(store) == before
    assert store.rebuild() == []
    assert store.database.connection().is_marked("backup")  # its first write says so
    store.ledger.state("retention.set", {"days": 400}, NOON)
    assert [row["kind"] for row in store.database.rows("select kind from entries")][-3:] == [
        "work.accepted",
        "work.accepted",
        "retention.set",
    ]


def test_drafts_and_house_words_come_back_as_they_were_beside_each_ledger(workshop, target, new):
    drafts, house = workshop.store.drafts, workshop.folder / "house.yaml"
    version = drafts.put("mine", Draft("id: mine  # an evening's work\n"), NEW)
    size = back_up(workshop.store, target, NOON).size
    house.write_text("instead: {}\n")
    later = drafts.put("mine", Draft("id: mine  # two evenings'\n"), version)
    (drafts.folder / "lost.zip.part").write_text("no draft")
    back_up(workshop.store, target, NOON)
    assert restore(target, new).working == 2
    assert Drafts(new, 0).read("mine").version == later
    assert (new / "house.yaml").read_text() == "instead: {}\n"
    assert {path.name for path in (new / "drafts").iterdir()} == {"mine.zip"}
    older = new.with_name("older")
    assert restore(target, older, size).working == 1
    assert Drafts(older, 0).read("mine").version == version


def test_working_files_go_with_their_ledger_and_outlive_a_run_that_is_cut_off(workshop, target):
    workshop.store.drafts.put("mine", Draft("id: mine\n"), NEW)
    sizes = [back_up(workshop.store, target, NOON, generations=2).size for _ in range(3)]
    kept = {path.name for path in target.iterdir() if path.suffix == ".working"}
    assert kept == {f"ledger-{size:012d}.working" for size in sizes[1:]}
    for name in kept:  # what a run left that ended between two of its moves
        (target / name).with_suffix(".new").mkdir()
        (target / name).with_suffix(".old").mkdir()
    place = target / f"ledger-{sizes[-1]:012d}.working"
    replace_working_files(workshop.folder, place)
    assert [path.name for path in (place / "drafts").iterdir()] == ["mine.zip"]
    assert not place.with_suffix(".new").exists()


def test_a_file_that_cannot_be_read_stops_no_backup_and_its_last_copy_is_kept(
    workshop, target, new
):
    house = workshop.folder / "house.yaml"
    house.write_text("instead: {}  # an evening's work\n")
    assert back_up(workshop.store, target, NOON).unread == ()
    house.unlink()
    house.mkdir()  # no rights stop root: a folder in its place is read by nobody
    workshop.store.drafts.put("mine", Draft("id: mine\n"), NEW)
    for _ in range(4):  # more than there are generations
        made = back_up(workshop.store, target, NOON)
        assert made.unread == (house,)
    assert restore(target, new).working == 2
    assert (new / "house.yaml").read_text() == "instead: {}  # an evening's work\n"


def test_a_file_that_never_could_be_read_is_told_each_time(workshop, target, new):
    (workshop.folder / "house.yaml").mkdir()
    assert back_up(workshop.store, target, NOON).unread
    assert restore(target, new).working == 0


def test_a_draft_that_a_disk_gives_back_otherwise_is_not_called_backed_up(
    workshop, target, monkeypatch
):
    workshop.store.drafts.put("mine", Draft("id: mine\n"), NEW)
    write = files.write_new
    monkeypatch.setattr(files, "write_new", lambda path, data, **kw: write(path, data[:-1], **kw))
    with pytest.raises(Damaged, match=r"mine\.zip"):
        back_up(workshop.store, target, NOON)
    assert not list(target.glob("ledger-*.db"))


def test_a_restored_workshop_is_rewound_and_takes_again_what_it_lacks(workshop, target, new):
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
    records = workshop.store.pages.page(0, limit=100).records
    lines = [text.split(" ", 2)[2] for _, text in records]

    restore(target, new)
    workshop.store = opened(workshop, new)
    assert workshop.store.ledger.root_at(seen.size) != seen.root
    again = workshop.store.ledger.append(
        lines, [vin.decode(), plate.decode()], received=NOON, offset_ms=0
    )
    assert again.refused == []
    assert workshop.store.views.device(newcomer.id) is not None  # its invitation came back too
    assert workshop.store.views.kept_at(ref(vin)["blob"]) is not None
    assert workshop.store.rebuild() == []


def test_an_older_generation_is_named_by_its_size(workshop, target, new):
    sizes = [back_up(workshop.store, target, NOON).size for _ in range(3)]
    with pytest.raises(StoreError, match="no ledger of 77 records") as refused:
        restore(target, new, 77)
    assert ", ".join(map(str, reversed(sizes))) in refused.value.hint
    assert not new.exists()
    assert restore(target, new, sizes[0]).size == sizes[0]
    assert opened(workshop, new).ledger.size() == sizes[0]


def test_nothing_is_overwritten(workshop, target, new):
    back_up(workshop.store, target, NOON)
    new.mkdir()
    (new / "letters.txt").write_text("somebody's")
    with pytest.raises(NotAWorkshop, match="not empty"):
        restore(target, new)
    with pytest.raises(NotAWorkshop, match="not empty"):
        restore(target, workshop.folder)
    assert [path.name for path in new.iterdir()] == ["letters.txt"]


def test_a_damaged_generation_is_not_put_back_and_an_older_one_is(workshop, target, new, tmp_path):
    first = back_up(workshop.store, target, NOON).size
    second = back_up(workshop.store, target, NOON).size
    with sqlite3.connect(target / f"ledger-{second:012d}.db") as file:
        file.execute("update records set record = replace(record, '2026-', '2025-')")
    file.close()
    with pytest.raises(Damaged, match="the record at 0"):
        restore(target, new)
    assert not (new / "ledger.db").exists()
    assert restore(target, tmp_path / "newer", first).size == first


def test_when_devices_signed_in_last_goes_along_and_what_does_not_is_said(workshop, target, new):
    phone = workshop.enrol("mechanic")
    workshop.store.sessions.start(phone.id, NOON)
    size = back_up(workshop.store, target, NOON).size
    heard = rows_of_table(workshop.store, "contacts")
    assert heard
    workshop.store.sessions.start(phone.id, NOON + timedelta(days=1))
    back_up(workshop.store, target, NOON)
    older, names = new.with_name("older"), ("sessions", "halves of uploads", "may still send")
    told = CliRunner().invoke(main, ["restore", str(target), "--data", str(new)])
    assert told.exit_code == 0, told.output
    assert "When 1 device last signed in is back" in told.output
    assert [name for name in names if name not in told.output] == []
    store = opened(workshop, new)
    assert rows_of_table(store, "contacts") == rows_of_table(workshop.store, "contacts") != heard
    assert rows_of_table(store, "sessions") == []
    assert restore(target, older, size).contacts == 1
    assert rows_of_table(opened(workshop, older), "contacts") == heard
    asked = ["backup", str(target), "--data", str(workshop.folder)]
    told = CliRunner().invoke(main, asked)
    assert told.exit_code == 0, told.output
    assert [name for name in names if name not in told.output] == []


@pytest.mark.parametrize("bad", [b"", b"[]", b"{", b'{"x": "y"}', b"\xff", b"[" * 100_000, None])
def test_what_is_not_what_was_written_of_sign_ins_stops_no_restore(workshop, target, new, bad):
    workshop.store.sessions.start(workshop.enrol("mechanic").id, NOON)
    back_up(workshop.store, target, NOON)
    (file,) = target.glob("ledger-*.working/contacts.json")
    file.unlink() if bad is None else file.write_bytes(bad)
    told = CliRunner().invoke(main, ["restore", str(target), "--data", str(new)])
    assert told.exit_code == 0, told.output
    assert "When devices last signed in is not in this backup" in told.output
    assert rows_of_table(opened(workshop, new), "contacts") == []


def test_a_photo_that_is_rotten_or_gone_in_the_backup_is_named_and_not_put_back(
    workshop, target, new
):
    blobs = [workshop.store.blobs.put(data) for data in (b"one", b"two", b"six")]
    workshop.store.ledger.keep(blobs, NOON)
    workshop.store.checks.note(blobs[2], "altered")
    back_up(workshop.store, target, NOON)
    (target / "blobs" / blobs[0][:2] / blobs[0]).write_bytes(b"0ne")
    (target / "blobs" / blobs[1][:2] / blobs[1]).unlink()
    restored = restore(target, new)
    assert set(restored.missing) == set(blobs[:2])
    store = opened(workshop, new)
    assert set(store.blobs.all()) == {blobs[2]}
    # What was known of the other disk stays there; what is missing here is asked of phones.
    assert {(one.blob, one.found) for one in store.checks.bad()} == {
        (blob, "missing") for blob in blobs[:2]
    }
    assert set(wanted(store, None)) == set(blobs[:2])


def test_what_was_erased_after_the_generation_does_not_come_back(workshop, target, new):
    blob = workshop.store.blobs.put(b"a photo")
    workshop.store.ledger.keep([blob], NOON)
    size = back_up(workshop.store, target, NOON).size
    erased = {"blob": blob, "reason": "asked", "basis": "law"}
    workshop.store.ledger.state("blob.erased", erased, NOON)
    back_up(workshop.store, target, NOON)
    assert restore(target, new, size).missing == (blob,)
    assert not opened(workshop, new).blobs.has(blob)


def test_a_folder_without_a_backup_is_told(workshop, tmp_path, new):
    (tmp_path / "empty").mkdir()
    with pytest.raises(StoreError, match="holds no ledger"):
        restore(tmp_path / "empty", new)


@pytest.mark.embedded("its backup of the old form is SQLite's file")
def test_a_backup_of_the_old_form_is_put_back_and_read_only_will_do(workshop, target, new):
    """It had one `ledger.db`, with its views, and nothing that says what was checked."""
    workshop.open_job(workshop.enrol("mechanic"))
    workshop.store.database.connection().execute("PRAGMA wal_checkpoint(TRUNCATE)")
    target.mkdir(parents=True)
    shutil.copy(workshop.folder / "ledger.db", target)
    shutil.copytree(workshop.folder / "blobs", target / "blobs")
    with sqlite3.connect(target / "ledger.db") as file:
        file.execute("PRAGMA journal_mode=DELETE")
        file.execute("PRAGMA user_version=1")
    file.close()
    for path in (target, *target.rglob("*")):
        path.chmod(path.stat().st_mode & ~0o222)
    before = {path: path.stat().st_mtime_ns for path in target.rglob("*")}
    size = workshop.store.ledger.size()
    assert restore(target, new, size).size == size
    assert {path: path.stat().st_mtime_ns for path in target.rglob("*")} == before
    assert opened(workshop, new).rebuild() == []
