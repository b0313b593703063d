"""
The newest checkpoint beside the database: a lost log is found, and what is served is checked.

Each of these opened without a word before: 17 to 30 of 30 acknowledged entries were gone.
"""

import os
import shutil
import sqlite3

import pytest

from twoturns.store import Store, newest_checkpoint
from twoturns.store.accept_loss import accept
from twoturns.store.check import look_over
from twoturns.store.errors import Damaged, RecordsLost, StoreError
from twoturns.store.newest_checkpoint import NAME, Newest
from twoturns.store.succession import rotate
from workshop import NOON, Workshop, clients, uuid7


@pytest.fixture
def cut_off(workshop, tmp_path):
    """A folder as it is after the power went: the log still beside the database."""
    phone = workshop.enrol("mechanic")
    workshop.store.database.connection().execute("PRAGMA wal_checkpoint(TRUNCATE)")
    said = [phone.write("job.taken", {}, uuid7()) for _ in range(30)]
    for one in said:
        workshop.push(one)
    folder = tmp_path / "cut-off"
    shutil.copytree(workshop.folder, folder, ignore=shutil.ignore_patterns("*-shm"))
    return folder, [one.line for one in said], phone


def harmed(log, harm: str) -> None:
    data = bytearray(log.read_bytes())
    if harm == "deleted":
        log.unlink()
    if harm == "cut":
        os.truncate(log, len(data) // 2)
    if harm == "flipped":
        data[len(data) // 2] ^= 1
        log.write_bytes(data)


@pytest.mark.embedded("it is about the log beside SQLite's file")
def test_a_log_that_is_there_is_taken_in_after_the_power_went(cut_off):
    folder, lines, _ = cut_off
    assert Store(folder).ledger.size() == 3 + len(lines)


@pytest.mark.parametrize("act", ["append", "hand over twice"])
def test_what_another_process_commits_while_a_folder_is_opened_is_no_loss(
    workshop, monkeypatch, act
):
    phone, notes = workshop.enrol("mechanic"), Newest.notes

    def late(self):
        if act == "append":
            workshop.push(phone.write("job.taken", {}, uuid7()))
        else:  # then neither place is signed by a key that was known when the opening began
            rotate(workshop.store, NOON)
            rotate(workshop.store, NOON)
        return notes(self)

    monkeypatch.setattr(Newest, "notes", late)
    opened = Store(workshop.folder)
    assert opened.ledger.size() == workshop.store.ledger.size()


@pytest.mark.embedded("it is about the log beside SQLite's file")
@pytest.mark.parametrize("harm", ["deleted", "cut", "flipped"])
def test_a_lost_log_stops_the_server_and_the_way_out_loses_nothing(cut_off, harm):
    folder, lines, _ = cut_off
    harmed(folder / "ledger.db-wal", harm)
    with pytest.raises(RecordsLost, match="and had 33") as told:
        Store(folder)
    assert "twoturns accept-loss" in told.value.hint
    left = accept(folder)
    assert left < 33
    store = Store(folder)
    assert store.database.connection().is_marked("backup")
    again = store.ledger.append(lines, [], received=NOON, offset_ms=0)
    assert (again.refused, len(again.indices)) == ([], 30)
    standings = {row["standing"] for row in store.database.rows("select standing from entries")}
    assert standings == {"good"}
    said = [row["record"] for row in store.database.rows("select record from records")]
    assert sum(f"goes on from a backup of {left} records" in text for text in said) == 2
    assert store.rebuild() == []
    store.database.close()
    Store(folder)  # and from here on it is guarded anew
    assert (folder / NAME).is_file()


def test_a_folder_that_lost_nothing_is_not_marked_as_put_back(workshop):
    workshop.enrol("mechanic")
    with pytest.raises(StoreError) as refused:
        accept(workshop.folder)
    assert refused.value.code == "nothing-lost"
    assert not workshop.store.database.connection().is_marked("backup")


@pytest.mark.embedded("it is about the log beside SQLite's file")
def test_a_loss_in_a_ledger_that_is_not_whole_is_not_accepted(cut_off):
    folder, _, _ = cut_off
    (folder / "ledger.db-wal").unlink()
    with sqlite3.connect(folder / "ledger.db") as file:
        file.execute("update records set record = replace(record, '2026-', '2025-')")
    file.close()
    with pytest.raises(Damaged, match="the record at 0"):
        accept(folder)
    assert (folder / NAME).is_file()


@pytest.mark.parametrize("place", [0, 1])
def test_one_torn_place_leaves_the_other(workshop, place):
    workshop.enrol("mechanic")
    path = workshop.folder / NAME
    data = bytearray(path.read_bytes())
    data[
        place * newest_checkpoint.PLACE_BYTES + 60 : place * newest_checkpoint.PLACE_BYTES + 160
    ] = bytes(100)
    path.write_bytes(data)
    store = Store(workshop.folder)
    store.ledger.state("retention.set", {"days": 400}, NOON)
    size = store.ledger.size()
    held = path.read_text()
    assert (
        f"\n{size}\n"
        in held[place * newest_checkpoint.PLACE_BYTES :][: newest_checkpoint.PLACE_BYTES]
    )


@pytest.mark.parametrize("harm", ["missing", "empty", "anothers"])
def test_a_checkpoint_that_is_gone_or_not_ours_is_a_loss_too(workshop, tmp_path, harm):
    phone = workshop.enrol("mechanic")
    workshop.push(phone.write("job.taken", {}, uuid7()))
    path = workshop.folder / NAME
    if harm == "missing":
        path.unlink()
    if harm == "empty":
        path.write_bytes(b"")
    if harm == "anothers":
        other = Workshop(tmp_path / "other")
        other.enrol("mechanic")
        shutil.copy(other.folder / NAME, path)
    with pytest.raises(RecordsLost):
        Store(workshop.folder)


def test_a_checkpoint_of_a_key_before_is_ours(workshop):
    workshop.enrol("mechanic")
    held = (workshop.folder / NAME).read_bytes()
    rotate(workshop.store, NOON)
    (workshop.folder / NAME).write_bytes(held)  # killed between the commit and this file
    assert Store(workshop.folder).ledger.size() == workshop.store.ledger.size()


@pytest.mark.embedded("it is about the log beside SQLite's file")
def test_a_log_that_is_lost_with_a_change_of_keys_is_found(workshop, tmp_path):
    workshop.enrol("mechanic")
    workshop.store.database.connection().execute("PRAGMA wal_checkpoint(TRUNCATE)")
    rotate(workshop.store, NOON)
    folder = tmp_path / "cut-off"
    shutil.copytree(workshop.folder, folder, ignore=shutil.ignore_patterns("*-shm", "*-wal"))
    with pytest.raises(RecordsLost):
        Store(folder)


@pytest.mark.embedded("workshops of before lie in SQLite")
def test_a_workshop_of_before_there_was_such_a_file_opens_and_has_one_with_its_next_write(workshop):
    db = workshop.store.database.connection()
    (workshop.folder / NAME).unlink(missing_ok=True)
    db.execute("PRAGMA application_id = 0")
    store = Store(workshop.folder)
    store.ledger.state("retention.set", {"days": 400}, NOON)
    assert (workshop.folder / NAME).stat().st_mode & 0o777 == 0o600
    store.ledger.state("retention.set", {"days": 400}, NOON)
    (workshop.folder / NAME).unlink()
    with pytest.raises(RecordsLost, match="is missing"):
        Store(workshop.folder)


def test_two_processes_leave_the_newest(workshop):
    other = Store(workshop.folder)
    for number in range(5):
        (workshop.store, other)[number % 2].ledger.state("retention.set", {"days": 4}, NOON)
        size = workshop.store.ledger.size()
        assert f"\n{size}\n" in (workshop.folder / NAME).read_text()


def test_a_ledger_that_shrinks_while_it_is_served_takes_nothing_more(workshop):
    phone = workshop.enrol("mechanic")
    client = clients(workshop)(phone)
    workshop.push(phone.write("job.taken", {}, uuid7()))
    client.push(phone.write("job.taken", {}, uuid7()))
    db = workshop.store.database.connection()
    db.execute('delete from records where "index" >= 4')
    db.execute("delete from nodes where (number + 1) << cast(level as integer) > 4")
    answer = client.push(phone.write("job.taken", {}, uuid7()))
    assert (answer.status_code, answer.json["code"]) == (500, "records-lost")


# What is served is checked against the tree as it is read.


@pytest.fixture
def job(workshop):
    phone = workshop.enrol("mechanic")
    job = workshop.open_job(phone)
    workshop.push(*(phone.write("job.taken", {}, job) for _ in range(6)))
    return workshop, phone, job


def flip(workshop, index: int) -> None:
    db = workshop.store.database.connection()
    sql = "update records set record = replace(record, '2026-', '2025-') where \"index\" = ?"
    assert db.execute(sql, [index]).rowcount == 1


def test_a_changed_record_leaves_by_no_way(job):
    workshop, phone, name = job
    client = clients(workshop)(phone)
    flip(workshop, 7)
    for path in ("/api/log", f"/api/jobs/{name}/log", "/api/log?since=7&most=1"):
        answer = client.get(path)
        assert (answer.status_code, answer.json["code"]) == (500, "damaged"), path
        assert "the record at 7" in answer.json["message"]
        assert "twoturns restore" in answer.json["hint"]
    assert client.get("/api/log?since=8").status_code == 200
    with pytest.raises(Damaged, match="the record at 7"):
        workshop.store.ledger.job_entries(name)
    with pytest.raises(Damaged, match="the record at 7"):
        workshop.store.ledger.record(7)


def test_a_repeated_push_of_what_was_changed_meanwhile_earns_no_receipt(job):
    workshop, phone, name = job
    said = phone.write("job.taken", {}, name)
    workshop.push(said)
    flip(workshop, workshop.store.ledger.size() - 1)
    with pytest.raises(Damaged):
        workshop.push(said)


def clear(workshop, level: int, number: int) -> None:
    db = workshop.store.database.connection()
    sql = "update nodes set hash = ? where level = ? and number = ?"
    assert db.execute(sql, [bytes(32), level, number]).rowcount == 1


@pytest.mark.parametrize(("level", "number"), [(0, 2), (1, 0), (2, 1)])
def test_a_changed_node_is_found_by_each_proof_that_goes_over_it(job, level, number):
    workshop, phone, _ = job
    client = clients(workshop)(phone)
    clear(workshop, level, number)
    codes = [client.get(f"/api/log?since={at}&most=1").status_code for at in range(8)]
    # A proof goes over the nodes beside the way from its record to the root.
    beside = [at for at in range(8) if at >> level == number ^ 1]
    assert [at for at, code in enumerate(codes) if code == 500] == beside


def test_a_changed_node_that_the_root_goes_over_is_found_at_the_start(job):
    workshop, _, _ = job
    clear(workshop, 3, 0)
    with pytest.raises(Damaged, match="not those that the workshop had signed for"):
        Store(workshop.folder)


def test_a_start_looks_at_the_newest_and_at_others_by_chance(job):
    workshop, _, _ = job
    db = workshop.store.database.connection()
    look_over(db, most=2)
    size = workshop.store.ledger.size()
    assert size > 9
    flip(workshop, 1)  # the enrolment of a device: whoever it is, it is looked at
    with pytest.raises(Damaged, match="the record at 1"):
        look_over(db, most=1)
    db.execute("update records set record = replace(record, '2025-', '2026-')")
    flip(workshop, size - 2)
    with pytest.raises(Damaged, match=f"the record at {size - 2}"):
        look_over(db, most=2)
    db.execute('delete from records where "index" = 3')
    with pytest.raises(Damaged, match="the record at 3"):
        look_over(db)


def test_who_accepts_a_loss_still_finds_by_what_lies_with_photos_elsewhere(tmp_path):
    shop = Workshop(tmp_path / "data", photos=f"dir:{tmp_path / 'large'}")
    job = shop.open_job(shop.enrol("mechanic"), vin="TT000000000000042")
    (shop.folder / NAME).unlink()
    accept(shop.folder)
    found = Store(shop.folder).views.find("vin", "TT000000000000042")
    assert [row["job"] for row in found] == [job]
