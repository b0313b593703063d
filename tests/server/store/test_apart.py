"""
Workshops of one installation, on either engine: a statement that forgot whose rows it wants finds
those of its own workshop and no other's. Tried, not read.
"""

import sqlite3
from contextlib import closing, suppress
from dataclasses import dataclass

import pytest
from psycopg.errors import InsufficientPrivilege
from psycopg.sql import Identifier

from seaweed import PLAIN
from twoturns.store import postgres_links
from twoturns.store.errors import WorkshopShut
from twoturns.store.installation import Installation
from twoturns.store.port import rows_of
from twoturns.store.store import Store
from workshop import Phone, Workshop

pytestmark = [pytest.mark.slow(6), pytest.mark.embedded("it says itself where its workshops lie")]
PHOTO = b"\xff\xd8\xff of a belt"


@dataclass
class Pair:
    """Two workshops of one installation; who works in the north, and in which job."""

    north: Workshop
    south: Workshop
    northerner: Phone
    job: str

    def telling(self) -> set[str]:
        """What nobody in the south may ever read."""
        ledger = self.north.store.ledger
        return {ledger.workshop, ledger.key, self.northerner.id, self.northerner.person, self.job}


@pytest.fixture(params=["sqlite", "postgresql"])
def pair(request, tmp_path, monkeypatch):
    if request.param == "postgresql":
        monkeypatch.setenv("TWOTURNS_LEDGER", request.getfixturevalue("postgres").url)
    # The schema is named by the folder: on one server for all tests each has names of its own.
    hosts = [f"{side}.{tmp_path.name.replace('_', '-').lower()}"[:60].strip("-") for side in "ns"]
    installation = Installation(tmp_path / "chain")
    installation.make()
    north, south = (Workshop(installation.place(host)) for host in hosts)
    northerner = north.enrol("owner")
    south.open_job(south.enrol("owner"))
    return Pair(north, south, northerner, north.open_job(northerner))


def tables_of(store: Store) -> list[str]:
    if store.database.connection().is_embedded:
        said = "select name from sqlite_master where type = 'table' and name not like 'sqlite_%'"
    else:
        said = "select tablename as name from pg_tables where schemaname = current_schema()"
    return [row["name"] for row in store.database.rows(said)]


def test_a_statement_without_any_where_finds_nothing_of_the_other(pair):
    """Each table of the south read whole, by every way there is to read."""
    store, read = pair.south.store, 0
    with store.database.read() as db:
        whole = {table: rows_of(db, f"select * from {table}") for table in tables_of(store)}
    for table, rows in whole.items():
        by_itself = store.database.rows(f"select * from {table}")
        assert len(by_itself) == len(rows)
        said = str(rows + by_itself)
        assert not [one for one in pair.telling() if one in said], table
        read += len(rows)
    assert len(whole) > 20
    assert read > 20
    # What is looked for is what stands there in the north.
    norths = str([pair.north.store.database.rows(f"select * from {one}") for one in whole])
    assert all(one in norths for one in pair.telling())


def test_a_change_without_any_where_changes_nothing_of_the_other(pair):
    before = pair.north.store.database.rows("select * from records order by 1")
    with pair.south.store.database.write() as db:
        for table in tables_of(pair.south.store):
            db.execute(f"delete from {table}")
    assert pair.south.store.database.rows("select * from records") == []
    assert pair.north.store.database.rows("select * from records order by 1") == before
    assert Store(pair.north.folder).ledger.size() == len(before)


def test_a_question_for_the_others_names_is_as_one_for_nobodys(pair):
    views, ledger = pair.south.store.views, pair.south.store.ledger
    assert not views.has_job(pair.job, None)
    assert views.device(pair.northerner.id) is None
    assert ledger.job_entries(pair.job) == []
    assert not views.has_blob("ab" * 32, None)


@pytest.mark.parametrize("pair", ["postgresql"], indirect=True)
def test_at_postgresql_a_workshops_role_has_no_right_in_another_schema(pair):
    theirs = pair.north.store.database.schema
    assert theirs != pair.south.store.database.schema
    for statement in (
        f"select * from {theirs}.records",
        f"insert into {theirs}.records values (1, 'x', 'x')",
        f"update {theirs}.devices set role = 'owner'",
        f"delete from {theirs}.sessions",
        f"drop table {theirs}.records",
        f"create table {theirs}.mine (n integer)",
        f"alter schema {theirs} rename to mine",
        f"drop schema {theirs} cascade",
        f"grant all on schema {theirs} to public",
        "create schema mine",
        "create table public.mine (n integer)",
    ):
        refused = pytest.raises(WorkshopShut, match=r"permission denied|must be owner")
        with refused, pair.south.store.database.write() as db:
            db.execute(statement)
    assert pair.north.store.ledger.size() > 0


@pytest.mark.parametrize("pair", ["postgresql"], indirect=True)
def test_who_logs_in_has_no_right_in_a_workshop_before_its_role_is_taken_on(pair):
    ledger = pair.north.store.database
    with closing(postgres_links.connected(ledger.server)) as link:
        with pytest.raises(InsufficientPrivilege):
            link.execute(f"select 1 from {ledger.schema}.records")
        link.execute(postgres_links.HOME.format(Identifier(ledger.schema)))
        assert link.execute("select 1 from records").fetchone() == (1,)


@pytest.mark.parametrize("pair", ["sqlite"], indirect=True)
def test_in_sqlite_a_connection_knows_one_file(pair):
    for store in (pair.north.store, pair.south.store):
        files = [row["file"] for row in store.database.rows("pragma database_list")]
        assert files == [str(store.folder / "ledger.db")]
    with pytest.raises(sqlite3.OperationalError, match="no such table"):
        pair.south.store.database.rows('select * from "north".records')


def test_a_connection_goes_from_one_to_the_other_and_takes_nothing_along(pair):
    """By turns, in one thread: connections to a server are shared among workshops."""
    for _ in range(20):
        for workshop in (pair.north, pair.south):
            ids = {row["id"] for row in workshop.store.database.rows("select id from records")}
            first = workshop.store.ledger.record(0)
            assert workshop.store.ledger.workshop in first.record
            with suppress(ZeroDivisionError), workshop.store.database.write() as db:
                db.execute("delete from sessions")
                raise ZeroDivisionError  # a fault in the middle leaves nothing of it, either
            again = {row["id"] for row in workshop.store.database.rows("select id from records")}
            assert again == ids


def test_both_are_written_at_once_and_neither_waits_for_the_other(pair):
    """A transaction that stays open in the north does not keep the south from writing."""
    with pair.north.store.database.write() as db:
        db.execute("delete from sessions")
        size = pair.south.store.ledger.size()
        pair.south.enrol("mechanic")
        assert pair.south.store.ledger.size() > size


@pytest.fixture
def of_one_bucket(seaweed, tmp_path, monkeypatch):
    """Two workshops whose photos lie in one bucket, by one key, as their folders are named."""
    monkeypatch.setenv("AWS_ACCESS_KEY_ID", seaweed.key)
    monkeypatch.setenv("AWS_SECRET_ACCESS_KEY", seaweed.secret)
    return [
        Workshop(tmp_path / f"{name}.{tmp_path.name}", photos=seaweed.address(PLAIN))
        for name in ("n", "s")
    ]


def test_photos_in_one_bucket_are_each_workshops_own(of_one_bucket):
    """Listed whole, erased, and asked for by the name that both have."""
    north, south = (one.store.blobs for one in of_one_bucket)
    sha256 = north.put(PHOTO)
    assert not south.has(sha256)
    assert [*south.all()] == []
    assert [found.name for found in south.bucket.below("")] == ["workshop"]
    assert south.put(PHOTO) == sha256
    north.erase(sha256)
    assert not north.has(sha256)
    assert south.read(sha256) == PHOTO
    # A name that was forgotten takes away what is below one's own prefix, and no more.
    south.bucket.erase("")
    assert north.bucket.find("workshop")
