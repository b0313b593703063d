"""What `doctor` finds in a folder that is well, and in one where each matter is not."""

from datetime import timedelta

import pytest

from twoturns.store import Store, doctor
from twoturns.store.backup import back_up
from twoturns.store.blob_folder import BlobFolder
from twoturns.store.scrub import scrub
from workshop import NOON, Workshop, private_value, ref, uuid7


def found(workshop, now=NOON):
    """What a new process finds, by code: level, words, hint; of several of one code the last."""
    store = Store(workshop.folder, needs_key=False)
    return {one.code: (one.level, one.says, one.hint) for one in doctor.examine(store, now)}


def levels(workshop, now=NOON):
    return {code: level for code, (level, _, _) in found(workshop, now).items()}


@pytest.mark.embedded("the tests' server has no standby, and is told so")
def test_a_workshop_that_is_well_is_told_so_and_nothing_is_to_be_done(workshop, tmp_path):
    phone = workshop.enrol("mechanic")
    words = private_value("words", "oily")
    workshop.push(phone.write("note.added", {"text": ref(words)}, uuid7()), blobs=(words,))
    workshop.store.ledger.keep([workshop.store.blobs.put(words)], NOON)
    workshop.store.checks.begin_slice(NOON)
    back_up(workshop.store, tmp_path / "backup", NOON)
    workshop.store.ledger.state("recovery.committed", {"recovery": "r" * 43}, NOON)
    all_of_it = found(workshop)
    assert {level for level, _, _ in all_of_it.values()} == {"good"}, all_of_it
    assert {hint for _, _, hint in all_of_it.values()} == {""}


def test_every_finding_that_is_not_good_says_what_to_do(workshop):
    for level, says, hint in found(workshop, NOON + timedelta(days=40)).values():
        assert says
        assert bool(hint) == (level != "good")


def test_a_record_that_was_altered(workshop):
    with workshop.store.database.write() as db:
        db.execute("""update records set record = replace(record, 'keyed', 'kexed')""")
    assert levels(workshop)["records"] == "bad"


def test_a_key_file_that_others_read_or_that_is_gone(workshop):
    key = workshop.folder / "workshop.key"
    key.chmod(0o640)
    level, says, hint = found(workshop)["key-mode"]
    assert (level, "mode 640" in says, "chmod 600" in hint) == ("bad", True, True)
    key.unlink()
    assert levels(workshop)["key-missing"] == "bad"


def test_a_key_file_of_another_workshop(workshop, tmp_path):
    other = Workshop(tmp_path / "other")
    (workshop.folder / "workshop.key").write_bytes((other.folder / "workshop.key").read_bytes())
    assert levels(workshop)["key-wrong"] == "bad"


def test_a_folder_that_everybody_enters(workshop):
    workshop.folder.chmod(0o755)
    assert levels(workshop)["folder"] == "look"


def test_a_workshop_without_paper(workshop):
    assert levels(workshop)["paper"] == "look"


@pytest.mark.parametrize(
    ("mib_above_the_floor", "level"), [(0, "bad"), (5, "look"), (10_000, "good")]
)
def test_a_disk_by_how_long_it_lasts(workshop, monkeypatch, mib_above_the_floor, level):
    # 1 MiB in the two days before: 10 days' room is 5 MiB, and asks to be looked at.
    workshop.store.ledger.keep([workshop.store.blobs.put(b"x" * 2**20)], NOON - timedelta(days=2))
    free = workshop.store.uploads.floor_bytes + mib_above_the_floor * 2**20
    monkeypatch.setattr("twoturns.store.files.free_bytes", lambda _: free)
    assert levels(workshop)["disk"] == level


def test_a_clock_that_went_back(workshop):
    workshop.enrol("mechanic")
    assert levels(workshop, NOON - timedelta(hours=1))["clock-back"] == "bad"


@pytest.mark.parametrize(("minutes", "level"), [(0, "good"), (1, "good"), (-30, "look")])
def test_a_clock_that_differs_from_most_devices(workshop, minutes, level):
    phone = workshop.enrol("mechanic")
    job = uuid7()
    lines = [phone.write("job.taken", {}, job).line for _ in range(5)]
    workshop.store.ledger.append(lines, [], received=NOON, offset_ms=minutes * 60_000)
    assert levels(workshop)["clock"] == level


@pytest.mark.parametrize(("days", "level"), [(0, "good"), (3, "look"), (20, "bad")])
def test_a_backup_by_its_age(workshop, tmp_path, days, level):
    back_up(workshop.store, tmp_path / "backup", NOON)
    assert levels(workshop, NOON + timedelta(days=days))["backup"] == level


def test_no_backup_at_all_is_to_be_looked_at_on_the_first_day_and_bad_then(workshop):
    assert levels(workshop)["backup"] == "look"
    assert levels(workshop, NOON + timedelta(days=3))["backup"] == "bad"


def test_photos_that_were_altered_or_never_read(workshop):
    blob = workshop.store.blobs.put(b"photo")
    workshop.store.ledger.keep([blob], NOON)
    assert levels(workshop)["photos-unread"] == "look"
    BlobFolder(workshop.folder / "blobs").path(blob).write_bytes(b"other")
    list(scrub(workshop.store))
    assert levels(workshop)["photos"] == "bad"


def test_a_phone_that_calls_no_more_and_one_that_was_revoked(workshop):
    phone, lost = workshop.enrol("mechanic"), workshop.enrol("mechanic")
    owner = workshop.enrol("owner")
    workshop.push(owner.write("device.revoked", {"device": lost.id, "because": "lost"}))
    workshop.push(phone.write("job.taken", {}, uuid7()))
    later = doctor.examine(workshop.store, NOON + timedelta(days=20))
    silent = [one.says for one in later if one.code == "phone" and one.level == "look"]
    assert any(phone.id[:8] in says for says in silent)
    assert not any(lost.id[:8] in says for says in silent)
