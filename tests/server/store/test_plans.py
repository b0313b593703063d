"""
What is asked while people wait grows with the answer, not with what is held: no statement of any
route reads a table that grows from end to end. Against SQLite's own EXPLAIN QUERY PLAN, whose SCAN
is that, of every statement that is heard while each route is asked for by each role.
"""

import base64
import hashlib
import re
import sqlite3
from pathlib import Path

import psycopg
import pytest

import twoturns.store
from every_route import BEGUN, GETS, OF_CUSTOMERS, PHOTO, WRITES, history, questions
from postgres_plans import STATEMENT, Planner, texts_of
from tiny_procedure import TINY_SOURCE
from twoturns.store import Store, projector
from twoturns.store.database import Connection, Database
from twoturns.store.ledger_url import DATABASE_FILE
from twoturns.store.port import Parameters
from twoturns.store.sight import Sight
from twoturns.store.summaries import renew
from workshop import NOON, Workshop, clients, private_value, ref

# These have as many rows as there are people, tools, procedures, recalls, acceptances, orders to
# erase and backups; as many as changed a moment ago, or signed in today. All others grow with work.
FEW = {"devices", "speaks", "shut", "heads", "bundles", "bundle_assets", "tools", "calibrations"}
FEW |= {"recalled_lots", "refused", "orders", "ordered", "order_words", "erasure_rules", "backups"}
FEW |= {
    "views_made",
    "indexed",
    "unfolded",
    "nonces",
    "sessions",
    "contacts",
    "slices",
    "json_each",
}
FEW |= {"CONSTANT", "sqlite_master", "tool_checks", "indexed"}

# Indexes of some rows alone, that are read as a whole where all those rows are asked for:
FEW_OF_MANY = {
    "jobs_open": "jobs that are open",
    "entries_held": "entries that are held back, of which each device may send so many",
    # Read in order, up to a page's end.
    "summaries_standing": "a page of the desk",
    "summaries_ageing": "settled jobs of the last 90 days",
    "jobs_last_index": "a page of the jobs",
    "jobs_ended": "the last so many jobs that were closed",
    "dues_day": "a page of what will be due",
}

ROOM = Path(twoturns.store.__file__).parent
# The engines; what makes a backup's file, which SQLite reads; and what is no part of the ledger.
OF_ONE_ENGINE = {"database", "postgres", "ledger_copy", "generations", "blob_checks"}
# Whether a table is there each engine asks in its own way, and files of before are SQLite's.
OF_SQLITE = re.compile("sqlite_master|pragma_index_list|former_records")


class Heard:
    """Every statement that any connection is given, with SQLite's plan of it."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.plans: dict[str, list[str]] = {}
        self.texts: dict[str, Parameters] = {}  # as they are written, with what was filled in
        self.asking = ""
        self.rows: dict[str, list[dict]] = {}  # of each table, at the end
        opened = Database._open
        for name in ("execute", "later", "executemany"):
            monkeypatch.setattr(Connection, name, self._noting(getattr(Connection, name), name))

        def listened_to(database: Database):
            db = opened(database)
            db.is_ledgers = database.path.name == DATABASE_FILE
            plain = sqlite3.connect(database.path)  # a plan asked for is not heard itself
            db.conn.set_trace_callback(lambda sql: self._hear(plain, sql))
            return db

        monkeypatch.setattr(Database, "_open", listened_to)

    def _noting(self, inner, name: str):
        def noting(connection, sql: str, given=None):
            given = list(given) if name == "executemany" else given
            is_text = STATEMENT.match(sql) and not OF_SQLITE.search(sql)
            if self.asking and is_text and connection.is_ledgers:
                for row in given or [] if name == "executemany" else [given or ()]:
                    self.texts.setdefault(sql, row)
            return inner(connection, sql, given)

        return noting

    def _hear(self, plain: sqlite3.Connection, sql: str) -> None:
        if self.asking and STATEMENT.match(sql):
            rows = plain.execute(f"explain query plan {sql}").fetchall()
            said = f"{self.asking}: {' '.join(sql.split())[:300]}"
            self.plans[said] = [row[3] for row in rows]


def scans(plan: list[str]) -> list[str]:
    """Return the lines of a plan that read a growing table from end to end."""
    found = []
    for line in plan:
        scan = re.match(r"SCAN (\w+)", line)
        index = re.search(r"USING (?:COVERING )?INDEX (\w+)", line)
        if scan and not (index and index[1] in FEW_OF_MANY):
            found += [line] if _table(scan[1]) not in FEW else []
    return found


# What statements of ours call a table or a part of a statement, where that is not its name.
ALIASES = {"placed": "CONSTANT", "keys": "CONSTANT", "seen": "CONSTANT", "standing": "CONSTANT"}
ALIASES |= {"listed": "CONSTANT"}  # what is given in a list
ALIASES |= {"own": "CONSTANT", "used": "CONSTANT"}  # the values, the tools of one job
ALIASES |= {"near": "CONSTANT"}  # the numbers of one job's entries, and those before them
ALIASES |= {"stated": "CONSTANT", "shown_of": "CONSTANT", "ageing": "CONSTANT"}  # a page of them
ALIASES |= {"last": "CONSTANT"}  # of the jobs, so many as are asked for


def _table(name: str) -> str:
    return ALIASES.get(name, name)


@pytest.fixture(scope="module")
def heard(tmp_path_factory):
    """Ask for every route as everybody; return what was heard of it."""
    with pytest.MonkeyPatch.context() as monkeypatch:
        heard = Heard(monkeypatch)
        shop = Workshop(tmp_path_factory.mktemp("plans") / "data")
        people, names = history(shop)
        names |= {"LOST": people["revoked"].id, "PERSON": people["mechanic"].person}
        shop.store.checks.note(names["VIN"], "altered")
        client_of = clients(shop)
        for who, phone in people.items():
            client = client_of(phone)
            for question in questions(names):
                heard.asking = f"{who} {question}"
                status, _ = question.asked_by(client)
                if question.method == "GET":
                    # Who is shut out is refused; a draft is not checked, a photo has not come.
                    assert status in (200, 401 if who == "revoked" else 409, 404), question.path
            heard.asking = f"{who} POST /api/drafts/tiny/hand-in"
            assert client.post("/api/drafts/tiny/hand-in", {}).status_code >= 400  # not checked
            heard.asking = f"{who} POST /api/drive"
            client.post("/api/drive", {"text": TINY_SOURCE})
            heard.asking = f"{who} PUT /api/drafts/tiny/begin"
            begun = client.put("/api/drafts/tiny/begin", BEGUN, If_None_Match="*")
            assert begun.status_code >= 400  # it is there
            heard.asking = f"{who} POST /api/entries"
            words = private_value("words", "more")
            said = phone.write("note.added", {"text": ref(words)}, names["JOB"])
            newer = phone.write_newer("note.sung", {"text": "la"}, names["JOB"])
            answer = client.push(said, newer, blobs=(words,))
            assert answer.status_code == 200, answer.json
            _upload(heard, who, client)
            heard.asking = f"{who} /api/session"
            client.sign_in(phone)
            client.delete("/api/session")
        heard.asking = "somebody POST /api/enrol"
        shop.enrol("mechanic")
        heard.asking = "the thread of summaries"
        renew(shop.store, set())
        heard.asking = ""
        tables = shop.store.database.rows(_TABLES)
        heard.rows = {
            one["name"]: shop.store.database.rows(f"select * from {one['name']}") for one in tables
        }
        return heard


def _upload(heard: Heard, who: str, client) -> None:
    photo = PHOTO + who.encode()
    sha256 = hashlib.sha256(photo).hexdigest()
    named = base64.b64encode(sha256.encode()).decode()
    heard.asking = f"{who} /api/uploads"
    begun = client.tus(
        "POST",
        "/api/uploads",
        Upload_Length=str(len(photo)),
        Upload_Metadata=f"filename cGhvdG8=,sha256 {named}",
    )
    assert begun.status_code == 201, begun.text
    client.tus("HEAD", f"/api/uploads/{sha256}")
    pieces = {"Upload_Offset": "0", "Content_Type": "application/offset+octet-stream"}
    assert client.tus("PATCH", f"/api/uploads/{sha256}", photo, **pieces).status_code == 204


def test_no_statement_of_any_route_reads_a_growing_table_from_end_to_end(heard):
    assert len(heard.plans) > 300
    found = {said: scans(plan) for said, plan in heard.plans.items()}
    assert {said: lines for said, lines in found.items() if lines} == {}


@pytest.fixture(scope="module")
def planner(heard, postgres, tmp_path_factory):
    """What plans in the schema of a workshop on PostgreSQL that has the same rows."""
    ledger = postgres.new_ledger()
    folder = tmp_path_factory.mktemp("postgres") / "data"
    with Store.create(folder, "Weir", NOON, ledger=ledger).database.write() as db:
        for table, rows in heard.rows.items():
            filled = [[*row.values()] for row in rows] or [made_up(db, table)]
            db.execute(f"delete from {table}")
            db.executemany(
                f"insert into {table} values ({', '.join('?' * len(filled[0]))})", filled
            )
    planner = Planner(postgres.admin_url, ledger.rpartition("=")[2], {*heard.rows} - FEW)
    yield planner
    planner.close()


def made_up(db, table: str) -> list[object]:
    """Return a row for a table that has none: of one without a page the planner knows it."""
    columns = db.execute(_COLUMNS, [table])
    return [1 if kind == "bigint" else "x" for (kind,) in columns]


_TABLES = "select name from sqlite_schema where type = 'table'"
_COLUMNS = """
select data_type from information_schema.columns
where table_schema = current_schema and table_name = ? order by ordinal_position
"""


def test_nor_does_postgresql_where_there_is_an_index_for_it(heard, planner):
    assert len(heard.texts) > 150
    found = {sql: read_whole(planner.reads(sql, given)) for sql, given in heard.texts.items()}
    assert {sql: tables for sql, tables in found.items() if tables} == {}


def test_postgresql_takes_every_statement_that_stands_in_the_store(planner):
    refused = {}
    texts = {one for one in texts_of(ROOM, OF_ONE_ENGINE) if not OF_SQLITE.search(one)}
    assert len(texts) > 200
    for sql in texts:
        try:
            planner.reads(sql)
        except psycopg.Error as error:
            refused[sql] = str(error)
    assert refused == {}


# The first page of a list by one thing, as `population` puts it together.
OF_ONE_THING = re.compile(r"select jobs\.\*, summaries\.summary from (\w+) as named ")
OF_ENDED = re.compile(r"union select job from jobs where lasted = \d")


def test_a_list_by_one_thing_is_read_in_its_order_and_ends_with_a_page(heard):
    plans = {said: plan for said, plan in heard.plans.items() if OF_ONE_THING.search(said)}
    assert {OF_ONE_THING.search(said)[1] for said in plans} == {"exceptions", "finders", "workers"}
    assert [said for said, plan in plans.items() if "USE TEMP B-TREE FOR ORDER BY" in plan] == []


def test_nor_is_it_sorted_by_postgresql(heard, planner):
    texts = {sql: given for sql, given in heard.texts.items() if OF_ONE_THING.search(flat(sql))}
    assert len(texts) > 3
    assert [sql for sql, given in texts.items() if planner.sorts(sql, given)] == []


def test_what_ended_behind_a_place_is_found_by_how_long_it_lasted(heard, planner):
    """By `ended` alone it would be found, too: among all jobs that ended since."""
    texts = {sql: given for sql, given in heard.texts.items() if OF_ENDED.search(flat(sql))}
    assert texts != {}
    for sql, given in texts.items():
        indexes = {index for table, index, _ in planner.reads(sql, given) if table == "jobs"}
        assert "jobs_lasted" in indexes
        assert "jobs_ended" not in indexes
    plans = [plan for said, plan in heard.plans.items() if "/api/log?held=0" in said]
    indexes = {word for plan in plans for line in plan for word in line.split()}
    assert "jobs_lasted" in indexes
    assert "jobs_ended" not in indexes


def flat(sql: str) -> str:
    return " ".join(sql.split())


def read_whole(reads: list[tuple[str, str, bool]]) -> list[tuple[str, str, bool]]:
    """Return what is read from end to end of growing tables."""
    return [one for one in reads if not (one[2] or one[0] in FEW or one[1] in FEW_OF_MANY)]


def test_every_route_was_asked_for(workshop):
    app = clients(workshop)().app
    asked = {one.split("?")[0] for one in GETS} | {one.split(" ")[1] for one in WRITES}
    asked |= {*OF_CUSTOMERS}
    rules = {str(rule) for rule in app.url_map.iter_rules() if str(rule).startswith("/api/")}
    named = {
        rule.replace("<job:job>", "JOB")
        .replace("<device:device>", "LOST")
        .replace("/bundles/<sha256:sha256>", "/bundles/BUNDLE")
        .replace("/blobs/<sha256:sha256>", "/blobs/VIN")
        .replace("<sha256:sha256>", "SHA")
        .replace("<sha256:of>", "RECALL")
        .replace("<draft:draft>", "tiny")
        .replace("<picture:picture>", "notch.png")
        for rule in rules
    }
    assert named == asked - {"/api/follow-ups/CHECK"}  # the same route, of another matter


@pytest.mark.embedded("it asks SQLite for its tables")
def test_every_table_grows_or_is_said_to_have_few_rows(workshop):
    rows = workshop.store.database.rows(_TABLES)
    assert FEW - {row["name"] for row in rows} == {
        *("slices", "json_each", "CONSTANT", "sqlite_master"),
    }
    assert {*projector.TABLES} >= {row["name"] for row in rows} - {
        *("records", "nodes", "views_made", "nonces", "sessions", "contacts", "allowances"),
    }


@pytest.mark.embedded("it reads SQLite's plan")
def test_a_scan_would_be_found(heard, workshop):
    with pytest.MonkeyPatch.context() as monkeypatch:
        hears = Heard(monkeypatch)
        hears.asking = "somebody"
        database = Database(workshop.store.database.path)
        database.rows("select * from entries where kind = 'job.opened'")
        database.rows('select * from entries where "index" = 3')
    first, second = hears.plans.values()
    assert (len(scans(first)), scans(second)) == (1, [])


def test_postgresql_would_be_found_to_scan_too(planner):
    whole = planner.reads("select * from entries where kind = 'job.opened'")
    listed = planner.reads('select * from entries where "index" = 3')
    assert (len(read_whole(whole)), read_whole(listed)) == (1, [])


@pytest.mark.embedded("it reads SQLite's plan")
def test_a_mechanics_first_page_is_read_by_what_is_shown(workshop):
    """By `last_index` it would be a search, too: through every job that was ever held."""
    sight = Sight("d" * 43, "2026-01-01")
    with workshop.store.database.read() as db:
        plan = db.execute(f"explain query plan {sight.listed}", {**sight.parameters, "since": 0})
        indexes = {word for row in plan for word in row[3].split() if word.startswith("jobs_")}
    assert indexes == {"jobs_open", "jobs_ruled"}
