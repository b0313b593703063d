"""
What both engines promise whoever writes and reads a ledger (`port.py`), held to SQLite and to a
PostgreSQL that runs. What rows mean is asked in other modules.
"""

import itertools
import json
import sqlite3
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass

import pytest

from twoturns.store import database as embedded
from twoturns.store.errors import WorkshopShut
from twoturns.store.port import Database, rows_of, run_script

SCHEMA = """
create table seen (name text primary key) strict, without rowid;
create table counted ("index" integer primary key, half blob, share integer) strict;
create table views_made (version text not null) strict;
"""
ROW = "insert into seen values (?)"
_numbers = itertools.count()


@dataclass
class Engine:
    """A ledger, how another process would open it, and what a row that is there twice raises."""

    database: Database
    open_again: Callable[[], Database]
    twice: type[Exception]
    is_server: bool


@pytest.fixture(params=["sqlite", "postgresql"])
def engine(request, tmp_path):
    if request.param == "sqlite":

        def open_again() -> Database:
            return embedded.Database(tmp_path / "test.db")

        made: Engine = Engine(open_again(), open_again, sqlite3.IntegrityError, False)
    else:
        made = _on_postgres(request.getfixturevalue("postgres").url)
    with made.database.write() as db:
        run_script(db, SCHEMA)
    return made


def _on_postgres(url: str) -> Engine:
    from psycopg.errors import IntegrityError

    from twoturns.store import postgres

    schema = f"port_{next(_numbers)}"
    made = postgres.Database.prepare(url, schema)
    return Engine(made, lambda: postgres.Database(url, schema), IntegrityError, True)


@pytest.fixture
def database(engine):
    return engine.database


def names(db) -> list[str]:
    return [row["name"] for row in rows_of(db, "select name from seen order by name")]


def held(database: Database) -> list[str]:
    return names(database.connection())


# Many rows at once.


def test_rows_that_wait_are_there_for_whoever_asks_next(database):
    with database.write() as db:
        db.later(ROW, ["one"])
        assert names(db) == ["one"]
        db.later(ROW, ["two"])
        db.executemany("update seen set name = name || ?", [["!"]])
        assert names(db) == ["one!", "two!"]


def test_rows_that_wait_are_kept_when_the_transaction_ends(engine):
    with engine.database.write() as db:
        db.later(ROW, ["one"])
        db.later(ROW, ["two"])
    assert held(engine.open_again()) == ["one", "two"]


def test_rows_that_wait_go_with_a_transaction_that_is_undone(database):
    with suppress(LookupError), database.write() as db:
        db.later(ROW, ["one"])
        raise LookupError
    with database.write() as db:
        db.later(ROW, ["two"])
    assert held(database) == ["two"]


def test_a_row_that_cannot_be_written_undoes_its_transaction(engine):
    with suppress(engine.twice), engine.database.write() as db:
        db.execute(ROW, ["one"])
        db.later(ROW, ["one"])
    assert held(engine.database) == []


def test_rows_of_which_one_could_not_be_written_go_in_with_nobody_who_passes_over_that(engine):
    def passes_over_it():
        with engine.database.write() as db:
            for name in ("one", "two", "two", "three"):
                db.later(ROW, [name])
            with suppress(engine.twice):
                names(db)

    with pytest.raises(Exception, match=r"UNIQUE|aborted"):
        passes_over_it()
    assert held(engine.database) == []


def test_rows_whose_transaction_has_ended_by_itself_are_not_written(tmp_path):
    """SQLite alone does so, when the disk is full."""
    database = embedded.Database(tmp_path / "test.db")
    database.connection().execute("create table seen (name text primary key) strict")

    def goes_on():
        with database.write() as db:
            db.later(ROW, ["one"])
            db.conn.execute("ROLLBACK")

    with pytest.raises(RuntimeError, match="transaction is over"):
        goes_on()
    assert held(database) == []


# Transactions.


def test_nobody_else_sees_rows_before_all_of_them_are_there(engine):
    reader = engine.open_again()
    with engine.database.write() as db:
        db.later(ROW, ["one"])
        assert held(reader) == []
        assert names(db) == ["one"]
        db.later(ROW, ["two"])
        assert held(reader) == []
    assert held(reader) == ["one", "two"]


def test_who_reads_has_one_moment_before_him_whatever_others_write(engine):
    writer = engine.open_again()
    with engine.database.read() as db:
        assert names(db) == []
        _in_a_thread(lambda: _write(writer, "one"))
        assert names(db) == []
    assert held(engine.database) == ["one"]


def test_who_only_reads_in_a_transaction_is_asked_by_all_in_his_thread(database):
    with database.write() as db:
        db.execute(ROW, ["one"])
        assert database.rows("select name from seen") == [{"name": "one"}]
        assert database.connection() is db


def test_eight_writers_go_one_after_the_other_and_none_is_lost(engine):
    """Each reads how many there are and writes the next: two at a time would write one twice."""

    def count():
        mine = engine.open_again()
        for _ in range(5):
            with mine.write() as db:
                (size,) = db.execute("select count(*) from counted").fetchone()
                db.execute('insert into counted ("index") values (?)', [size])

    threads = [threading.Thread(target=count) for _ in range(8)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    found = engine.database.rows('select "index" from counted order by 1')
    assert [row["index"] for row in found] == [*range(40)]


def test_one_at_a_time_is_alone(engine):
    order = []

    def come_second():
        with engine.open_again().alone():
            order.append("second")

    with engine.database.alone():
        second = threading.Thread(target=come_second)
        second.start()
        order.append("first")
    second.join()
    assert order == ["first", "second"]


# What goes in and comes out.


def test_truths_bytes_and_large_numbers_come_out_as_they_went_in(database):
    with database.write() as db:
        row = {"index": (1 << 60) - 1, "half": b"\x00\xff", "share": True}
        db.execute("insert into counted values (:index, :half, :share)", row)
    found = database.row("select *, share = 1 as is_one, share > 1 as is_more from counted")
    assert found == {**row, "share": 1, "is_one": 1, "is_more": 0}
    assert type(found["is_one"]) is int


def test_texts_sort_by_their_bytes_whatever_the_language_of_the_server(database):
    with database.write() as db:
        db.executemany(ROW, [["b"], ["a"], ["B"], ["ä"], ["Z"]])
    assert held(database) == ["B", "Z", "a", "b", "ä"]


def test_a_list_is_asked_for_by_what_is_in_it(database):
    with database.write() as db:
        db.executemany(ROW, [["one"], ["two"], ["three"]])
    sql = "select name from seen where name in (select value from json_each(:names)) order by 1"
    found = database.rows(sql, {"names": '["two", "three", "four"]'})
    assert [row["name"] for row in found] == ["three", "two"]


def test_a_question_mark_and_a_per_cent_within_quotes_are_only_signs(database):
    found = database.row("select '100 %?:a' || ? as said", ["!"])
    assert found == {"said": "100 %?:a!"}


def test_a_sign_that_no_text_of_a_server_can_hold_is_kept_and_found(engine):
    """U+0000, which JSON and so a phone may say."""
    database = engine.database
    with database.write() as db:
        db.execute(ROW, ["a\0b"])
        db.later(ROW, ["c\0"])
    assert database.row("select count(*) as n from seen where name = ?", ["a\0b"]) == {"n": 1}
    sql = "select count(*) as n from seen where name in (select value from json_each(?))"
    if engine.is_server:  # to SQLite a text of JSON ends there
        assert database.row(sql, [json.dumps(["a\0b", "c\0"])]) == {"n": 2}
    assert len(held(database)) == 2


def test_marks_are_the_ledgers(engine):
    with engine.database.write() as db:
        db.mark("backup", True)
        db.mark("backup", True)
    again = engine.open_again().connection()
    assert (again.is_marked("backup"), again.is_marked("guarded")) == (True, False)
    with engine.database.write() as db:
        db.mark("backup", False)
    assert not again.is_marked("backup")


def test_whether_there_is_a_table_is_said_of_this_ledger_alone(database):
    assert (database.has_table("seen"), database.has_table("pg_class")) == (True, False)


def test_what_was_deleted_is_let_go_of_beside_the_rows(database):
    with database.write() as db:
        db.execute(ROW, ["one"])
        db.execute("delete from seen")
    database.forget_the_past()
    assert held(database) == []


# PostgreSQL: workshops are strangers.


def test_a_workshop_reaches_no_other_ones_schema(postgres):
    from twoturns.store.postgres import Database as Ledger

    mine, others = (Ledger.prepare(postgres.url, f"strangers_{one}") for one in "ab")
    with others.write() as db:
        run_script(db, SCHEMA)
        db.execute(ROW, ["theirs"])
    for sql in (
        "select * from strangers_b.seen",
        "insert into strangers_b.seen values ('mine')",
        "drop table strangers_b.seen",
        "create table strangers_b.more (name text)",
    ):
        with pytest.raises(WorkshopShut):
            mine.connection().execute(sql)
    assert not mine.has_table("seen")
    assert held(others) == ["theirs"]


def test_who_waits_for_one_workshop_keeps_no_connection_from_another(postgres):
    """More write in the north than a process has connections: the south was told *away*."""
    from twoturns.store.postgres import Database as Ledger
    from twoturns.store.postgres_links import MOST_CONNECTIONS

    north, south = (Ledger.prepare(postgres.url, f"waits_{one}") for one in "ns")
    for one in (north, south):
        with one.write() as db:
            run_script(db, SCHEMA)
    begun = threading.Barrier(MOST_CONNECTIONS + 1)

    def write(number: int) -> None:
        begun.wait()
        with north.write() as db:
            db.execute(ROW, [f"{number}"])

    threads = [threading.Thread(target=write, args=(n,)) for n in range(MOST_CONNECTIONS)]
    with north.write():
        for one in threads:
            one.start()
        begun.wait()
        for _ in range(20):
            assert held(south) == []
    for one in threads:
        one.join()
    assert len(held(north)) == MOST_CONNECTIONS


def test_a_connection_that_served_another_workshop_serves_this_one_as_its_own(postgres):
    from twoturns.store.postgres import Database as Ledger

    shops = [Ledger.prepare(postgres.url, f"by_turns_{one}") for one in "ab"]
    for number, shop in enumerate(shops):
        with shop.write() as db:
            run_script(db, SCHEMA)
            db.execute(ROW, [f"of {number}"])
    for _ in range(8):  # until statements are prepared on the server, and beyond
        assert [held(shop) for shop in shops] == [["of 0"], ["of 1"]]


def _write(database: Database, name: str) -> None:
    with database.write() as db:
        db.execute(ROW, [name])


def _in_a_thread(act: Callable[[], object]) -> None:
    thread = threading.Thread(target=act)
    thread.start()
    thread.join()


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("DiskFull", "workshop-full"),
        ("LockNotAvailable", "workshop-locked"),
        ("DeadlockDetected", "workshop-locked"),
        ("InsufficientPrivilege", "workshop-shut"),
        ("InvalidPassword", "workshop-shut"),
        ("InvalidCatalogName", "workshop-shut"),
        ("AdminShutdown", "workshop-away"),
        ("CannotConnectNow", "workshop-away"),
        ("TooManyConnections", "workshop-away"),
        ("ReadOnlySqlTransaction", "workshop-away"),
        ("OperationalError", "workshop-away"),
        ("DataCorrupted", "damaged"),
        ("IoError", "workshop-away"),
        ("ProgramLimitExceeded", None),
        ("UniqueViolation", None),
        ("UndefinedTable", None),
    ],
)
def test_what_a_server_refuses_is_called_what_it_is_for_the_workshop(said, told):
    """Source: PostgreSQL 15, appendix A, "PostgreSQL Error Codes"."""
    errors = pytest.importorskip("psycopg.errors", reason="an extra, which CI has")
    from twoturns.store.postgres_links import what_it_is

    kind = getattr(errors, said, None) or getattr(errors.e, said, None)
    assert kind is not None, said
    found = what_it_is(kind("said"))
    assert (found and found.code) == told
