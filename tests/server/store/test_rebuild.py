"""Truth is records and blobs: everything else is computed again, row for row the same."""

import hashlib
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict

import pytest

from busy_week import a_busy_week
from twoturns.ledger.bodies import EDITION
from twoturns.ledger.record import parse
from twoturns.ledger.roster import Roster
from twoturns.store import Store, ids, projector, rebuild
from twoturns.store.errors import Damaged, NotAWorkshop
from twoturns.store.succession import rotate
from workshop import NOON, opening, private_value, ref, rows_of_table, uuid7


def dump(store: Store) -> dict[str, list[tuple]]:
    """Return every row of every table but the sessions."""
    tables = (*projector.TABLES, "records", "nodes")
    return {table: rows_of_table(store, table) for table in tables}


def test_views_rebuilt_are_the_same_row_for_row(workshop, monkeypatch):
    monkeypatch.setattr(ids, "MOST_HELD", 10)
    a_busy_week(workshop)
    before = dump(workshop.store)
    empty = [table for table, rows in before.items() if not rows]
    assert sorted(empty) == [
        "bundle_assets",
        "bundles",
        "dues",
        "exceptions",
        "summaries",
    ]  # with the bundles' tests
    assert {row[7] for row in before["entries"]} == {"good", "gap", "forked", "doubted"}
    assert workshop.store.rebuild() == []
    assert dump(workshop.store) == before


def test_the_devices_are_those_of_the_roster(workshop):
    a_busy_week(workshop)
    rotate(workshop.store, NOON)
    ledger = workshop.store.ledger
    roster = Roster(ledger.workshop)
    for record in workshop.store.database.rows('select * from records order by "index"'):
        roster.apply(record["index"], parse(record["record"]).entry)
    rows = workshop.store.database.rows("select * from devices order by enrolled_at")
    assert rows == [{"device": one.thumbprint, **asdict(one)} for one in roster.devices()]
    assert [row["role"] for row in rows if row["revoked_at"]] == ["console", "mechanic"]


def test_a_restart_finds_the_same_state_and_goes_on(workshop):
    a_busy_week(workshop)
    before, checkpoint = dump(workshop.store), workshop.store.ledger.checkpoint()
    workshop.store.database.close()
    again = Store(workshop.folder)
    again.tidy()
    assert dump(again) == before
    assert again.ledger.checkpoint() == checkpoint
    workshop.store = again
    workshop.enrol("mechanic")
    again.rebuild()
    assert again.ledger.size() == len(dump(again)["records"])


def test_another_process_writes_on_after_a_rebuild(workshop):
    other = Store(workshop.folder)
    phone = workshop.enrol("mechanic")
    other.rebuild()
    said = phone.write("job.taken", {}, uuid7())
    assert workshop.push(said).indices == {said.id: 3}


def test_a_changed_record_is_found_and_nothing_is_repaired(workshop):
    a_busy_week(workshop)
    db = workshop.store.database.connection()
    text = db.execute('select record from records where "index" = 7').fetchone()[0]
    later = text.replace("2026-11-24T12", "2026-11-24T11", 1)
    db.execute('update records set record = ? where "index" = 7', [later])
    before = dump(workshop.store)
    with pytest.raises(Damaged, match="at 7"):
        workshop.store.rebuild()
    assert dump(workshop.store) == before


def test_a_cut_tail_is_found(workshop):
    a_busy_week(workshop)
    size = workshop.store.ledger.size()
    db = workshop.store.database.connection()
    db.execute('delete from records where "index" = ?', [size - 1])
    with pytest.raises(Damaged):
        workshop.store.rebuild()


def test_a_missing_blob_is_named(workshop):
    a_busy_week(workshop)
    photo = hashlib.sha256(b"photo").hexdigest()
    workshop.store.blobs.path(photo).unlink()
    assert workshop.store.rebuild() == [photo]


_ERASED = "select standing from entries where kind = 'blob.erased'"


def test_an_erased_value_is_gone_from_disk_views_and_finders(workshop):
    phone, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    vin, plate, job = private_value("vin", "TT 7"), private_value("plate", "W 7"), uuid7()
    workshop.push(phone.write("job.opened", opening(vin, plate), job), blobs=(vin, plate))
    blob = ref(vin)["blob"]
    erased = {"blob": blob, "reason": "asked", "basis": "law"}
    # Not a mechanic's word, nor one owner's.
    workshop.push(phone.write("blob.erased", erased), owner.write("blob.erased", erased))
    assert workshop.store.blobs.has(blob)
    assert {row["standing"] for row in workshop.store.database.rows(_ERASED)} == {"doubted"}
    workshop.store.ledger.state("blob.erased", erased, NOON)
    assert not workshop.store.blobs.has(blob)
    assert workshop.store.views.find("vin", "TT 7") == []
    (row,) = workshop.store.views.find("plate", "W 7")
    assert row["vin"] is None
    refused = workshop.push(blobs=(vin,)).refused
    assert [one["code"] for one in refused] == ["blob-erased"]
    # A process killed between commit and removal, or an old backup, leaves the bytes.
    workshop.store.blobs.put(vin)
    workshop.store.tidy()
    assert not workshop.store.blobs.has(blob)


def with_a_column(monkeypatch) -> None:
    """A release that adds a column, and fills it."""
    more = projector.SCHEMA.replace("id text not null", "own text, id text not null", 1)
    assert more != projector.SCHEMA
    monkeypatch.setattr(projector, "SCHEMA", more)
    monkeypatch.setattr(
        projector.Projector,
        "apply",
        lambda self, index, record: self._db.execute(
            "insert into entries values (?, 'new', ?, null, ?, 1, 'x', 'x', 'good', 0, 1, 0, 1)",
            [index, record.entry.id, record.entry.device],
        ),
    )


def test_views_of_another_program_are_made_anew_as_the_folder_is_opened(workshop, monkeypatch):
    """It used to answer 500 at the first write, until somebody ran rebuild."""
    a_busy_week(workshop)
    size = workshop.store.ledger.size()
    heard = []
    assert Store(workshop.folder, progress=lambda *said: heard.append(said))
    assert heard == []
    with_a_column(monkeypatch)
    monkeypatch.setattr(rebuild, "STEP", 10)
    # The views that this makes have no keys in them.
    opened = Store(workshop.folder, needs_key=False, progress=lambda *said: heard.append(said))
    assert heard == [(done, size) for done in range(0, size, 10)]
    assert {row["own"] for row in opened.database.rows("select own from entries")} == {"new"}
    monkeypatch.undo()
    again = Store(workshop.folder)
    assert "own" not in again.database.rows("select * from entries")[0]


def test_one_of_several_processes_makes_them_and_the_others_wait(workshop, monkeypatch):
    a_busy_week(workshop)
    made = []
    monkeypatch.setattr(rebuild, "RULES", rebuild.RULES + 1)
    inner = rebuild.rebuild_views
    monkeypatch.setattr(rebuild, "rebuild_views", lambda *said: (made.append(1), inner(*said)))
    with ThreadPoolExecutor(4) as pool:
        opened = list(pool.map(lambda _: Store(workshop.folder), range(4)))
    assert made == [1]
    assert len({one.ledger.checkpoint() for one in opened}) == 1


@pytest.mark.embedded("ledgers of before lie in SQLite")
def test_views_of_an_older_program_are_signed_by_nobody_and_are_made_anew(workshop):
    a_busy_week(workshop)
    before = dump(workshop.store)
    db = workshop.store.database.connection()
    db.execute("drop table views_made")
    db.execute("drop table recalled_lots")
    assert dump(Store(workshop.folder)) == before


def test_a_record_that_was_changed_is_not_made_a_view_of(workshop, monkeypatch):
    a_busy_week(workshop)
    db = workshop.store.database.connection()
    db.execute("update records set record = replace(record, 'T12', 'T11') where \"index\" = 7")
    monkeypatch.setattr(rebuild, "RULES", rebuild.RULES + 1)
    with pytest.raises(Damaged, match="at 7"):
        Store(workshop.folder)


@pytest.mark.parametrize("kind", ["first record", "rules.began"])
def test_a_folder_of_a_newer_program_is_left_as_it_is(workshop, monkeypatch, kind):
    if kind == "rules.began":
        workshop.store.ledger.state("rules.began", {"edition": EDITION + 1}, NOON)
    else:
        monkeypatch.setattr("twoturns.store.store.EDITION", 1)
    with pytest.raises(NotAWorkshop, match=r"of edition \d+; this program knows \d+") as refused:
        Store(workshop.folder)
    assert "Update the program" in refused.value.hint
