"""
Entries found by their ids: what is held in memory, what is in the index, and what is neither.

The index here takes a few ids at once, so that a short ledger has all the cases of a long one.
"""

import random
import tarfile
from pathlib import Path

import pytest

from twoturns.store import Store, book, ids
from twoturns.store.database import Database
from twoturns.store.ids import Ids
from twoturns.store.port import run_script
from workshop import NOON, Phone, Workshop, uuid7

GOLDEN = Path(__file__).parents[2] / "golden"
FORMER = """
alter table records rename to now;
create table records ("index" integer primary key, id text not null unique, record text not null)
    strict;
insert into records select * from now;
drop table now
"""


@pytest.fixture(autouse=True)
def a_short_index(monkeypatch):
    monkeypatch.setattr(ids, "MOST_HELD", 8)


def note(phone: Phone, job: str) -> str:
    return phone.write("job.taken", {}, job).line


def push(store: Store, *lines: str) -> dict[str, int]:
    receipt = store.ledger.append(list(lines), [], received=NOON, offset_ms=0)
    assert receipt.refused == []
    return receipt.indices


def records(store: Store) -> dict[str, int]:
    rows = store.database.rows('select id, "index" from records')
    assert len({row["id"] for row in rows}) == len(rows)  # nothing went in twice
    return {row["id"]: row["index"] for row in rows}


def test_processes_that_take_turns_find_what_any_of_them_took_in(workshop, monkeypatch):
    """By another way: the records themselves, read from end to end."""
    monkeypatch.setattr(ids, "HEAD_DIGITS", 1)  # so that most heads are those of several
    stores = [workshop.store, Store(workshop.folder), Store(workshop.folder)]
    phones, job = [workshop.enrol("mechanic") for _ in range(2)], uuid7()
    told: dict[str, int] = {}
    lines: list[str] = []
    chance = random.Random(7)
    for _ in range(60):
        lines += [note(phone, job) for phone in phones for _ in range(chance.randrange(4))]
        batch = chance.sample(lines, min(5, len(lines))) + lines[-2:]
        told |= push(chance.choice(stores), *batch)
    everything = records(workshop.store)
    assert told.items() <= everything.items()
    assert workshop.store.database.row("select count(*) as n from ids")["n"] > 100
    assert push(stores[1], *lines).items() <= everything.items() | push(stores[2], *lines).items()
    for fresh in (Ids(), workshop.store.transactions._ids):
        with workshop.store.database.write() as db:
            fresh.catch_up(db)
            assert {one: fresh.index_of(db, one) for one in everything} == everything
            assert fresh.index_of(db, "0" * 64) is None


def test_what_was_undone_is_not_found(workshop, monkeypatch):
    phone, job = workshop.enrol("mechanic"), uuid7()
    lines = [note(phone, job) for _ in range(20)]
    push(workshop.store, lines[0])
    with monkeypatch.context() as broken:
        broken.setattr(book.Book, "checkpoint", fails)
        with pytest.raises(OSError, match="the disk is gone"):
            push(workshop.store, *lines)
    assert len(records(workshop.store)) == push(workshop.store, lines[1]).popitem()[1]
    told = push(workshop.store, *lines)
    assert told.items() <= records(workshop.store).items()
    assert len(told) == 20


def fails(_: object) -> str:
    raise OSError("the disk is gone")


@pytest.mark.embedded("ledgers of before lie in SQLite")
def test_a_ledger_with_an_index_of_ids_beside_its_records_gives_it_up(workshop):
    phone, job = workshop.enrol("mechanic"), uuid7()
    lines = [note(phone, job) for _ in range(20)]
    told, before = push(workshop.store, *lines), records(workshop.store)
    with workshop.store.database.write() as db:
        run_script(db, FORMER)
        db.execute("delete from views_made")
    opened = Store(workshop.folder)
    assert not has_index(opened.database)
    assert records(opened) == before
    assert push(opened, *lines) == told
    assert opened.database.row("PRAGMA secure_delete") == {"secure_delete": 1}


@pytest.mark.parametrize("name", ["2026-11", "2026-11-29"])
def test_a_workshop_of_a_former_build_gives_it_up_too(name, tmp_path):
    with tarfile.open(GOLDEN / name / "workshop.tar.xz") as archive:
        archive.extractall(tmp_path, filter="data")
    former = Database(tmp_path / "data" / "ledger.db")
    rows = former.rows("select * from records")
    assert has_index(former)
    former.close()
    opened = Store(tmp_path / "data")
    assert not has_index(opened.database)
    assert opened.database.rows("select * from records") == rows
    lines = [row["record"].split(" ", 2)[2] for row in rows]
    assert push(opened, *lines[1:]) == {row["id"]: row["index"] for row in rows[1:]}


def has_index(database: Database) -> bool:
    return database.rows("select 1 from pragma_index_list('records')") != []


@pytest.mark.embedded("it reads SQLite's plan")
def test_what_is_looked_for_reads_no_table_from_end_to_end(workshop: Workshop):
    push(workshop.store, *(note(workshop.enrol("mechanic"), uuid7()) for _ in range(20)))
    for sql in (ids._SINCE, ids._FIND):
        wanted = ["0"] * sql.count("?")
        for row in workshop.store.database.rows(f"explain query plan {sql}", wanted):
            assert "SCAN" not in row["detail"]
