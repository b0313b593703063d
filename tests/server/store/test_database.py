"""The connection that writes many rows at once: whoever asks sees them, and an undone one none."""

import sqlite3
from contextlib import suppress

import pytest

from twoturns.store.database import Database, rows_of

ROW = "insert into seen values (?)"


@pytest.fixture
def database(tmp_path):
    made = Database(tmp_path / "test.db")
    made.connection().execute("create table seen (name text primary key) strict")
    return made


def names(db) -> list[str]:
    return [row["name"] for row in rows_of(db, "select name from seen order by name")]


def test_rows_that_wait_are_there_for_whoever_asks_next(database):
    with database.write() as db:
        db.later(ROW, ["one"])
        assert names(db) == ["one"]
        db.later(ROW, ["two"])
        db.executemany("update seen set name = name || ?", [["!"]])
        assert names(db) == ["one!", "two!"]


def test_rows_that_wait_are_on_the_disk_when_the_transaction_ends(database, tmp_path):
    with database.write() as db:
        db.later(ROW, ["one"])
        db.later(ROW, ["two"])
    assert names(Database(tmp_path / "test.db").connection()) == ["one", "two"]


def test_rows_that_wait_go_with_a_transaction_that_is_undone(database):
    with suppress(LookupError), database.write() as db:
        db.later(ROW, ["one"])
        raise LookupError
    with database.write() as db:
        db.later(ROW, ["two"])
    assert names(database.connection()) == ["two"]


def test_a_row_that_cannot_be_written_undoes_its_transaction(database):
    with suppress(sqlite3.IntegrityError), database.write() as db:
        db.execute(ROW, ["one"])
        db.later(ROW, ["one"])
    assert names(database.connection()) == []
