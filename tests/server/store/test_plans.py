"""
What is asked while people wait grows with the answer, not with what is held: no statement of any
route reads a table that grows from end to end. Against SQLite's own EXPLAIN QUERY PLAN, whose SCAN
is that, of every statement that is heard while each route is asked for by each role.
"""

import base64
import hashlib
import re
import sqlite3

import pytest

from busy_week import a_busy_week
from tiny_procedure import TINY_SOURCE
from twoturns.store import projector
from twoturns.store.bundles import publish
from twoturns.store.database import Database
from twoturns.store.draft import Draft
from twoturns.store.drafts import NEW
from twoturns.store.sight import Sight
from twoturns.store.summaries import renew
from workshop import NOON, Workshop, clients, opening, private_value, ref, tiny_bundle, uuid7

# These have as many rows as there are people, tools, procedures, recalls, acceptances, orders to
# erase and backups; as many as changed a moment ago, or signed in today. All others grow with work.
FEW = {"devices", "speaks", "shut", "heads", "bundles", "bundle_assets", "tools", "calibrations"}
FEW |= {"recalled_lots", "refused", "orders", "ordered", "order_words", "erasure_rules", "backups"}
FEW |= {"views_made", "unfolded", "nonces", "sessions", "slices", "json_each", "CONSTANT"}

# Indexes of some rows alone, that are read as a whole where all those rows are asked for:
FEW_OF_MANY = {
    "jobs_open": "jobs that are open",
    "entries_held": "entries that are held back, of which each device may send so many",
    # Read in order, up to a page's end.
    "summaries_standing": "a page of the desk",
    "summaries_ageing": "settled jobs of the last 90 days",
    "jobs_last_index": "a page of the jobs",
}

PHOTO = b"\xff\xd8\xff no photo at all"
SHA = hashlib.sha256(PHOTO).hexdigest()


class Heard:
    """Every statement that any connection is given, with SQLite's plan of it."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.plans: dict[str, list[str]] = {}
        self.asking = ""
        opened = Database._open

        def listened_to(database: Database):
            db = opened(database)
            plain = sqlite3.connect(database.path)  # a plan asked for is not heard itself
            db.conn.set_trace_callback(lambda sql: self._hear(plain, sql))
            return db

        monkeypatch.setattr(Database, "_open", listened_to)

    def _hear(self, plain: sqlite3.Connection, sql: str) -> None:
        if self.asking and re.match(r"\s*(select|insert|update|delete|with)\b", sql, re.IGNORECASE):
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
ALIASES = {"placed": "CONSTANT", "seen": "CONSTANT", "standing": "CONSTANT"}


def _table(name: str) -> str:
    return ALIASES.get(name, name)


def history(shop: Workshop):
    """Fill a workshop with one of everything; return its people and what routes are asked with."""
    a_busy_week(shop)
    owner, phone, lost = (shop.enrol(role) for role in ("owner", "mechanic", "mechanic"))
    bundle = tiny_bundle()
    publish(shop.store, bundle, NOON)
    shop.store.drafts.put("tiny", Draft(TINY_SOURCE, {"notch.png": PHOTO}), NEW)
    for number in range(3):
        job, words = uuid7(), private_value("words", f"oily {number}")
        values = private_value("vin", f"TT{number}"), private_value("plate", f"W{number}")
        body = opening(*values, bundle=bundle.sha256)
        shop.push(phone.write("job.opened", body, job), blobs=values)
        part = {"step": "fit", "name": "belt", "part": "belt", "lot": f"L{number}"}
        shop.push(phone.write("part.fitted", part, job))
        shop.push(phone.write("note.added", {"text": ref(words)}, job), blobs=(words,))
    photo = {"step": "belt_on", "name": "whole_drive", "blob": SHA, "size": len(PHOTO)}
    photo |= {"type": "image/jpeg", "width": 0, "height": 0, "how": "picked"}
    shop.push(phone.write("photo.taken", photo, job))
    shop.push(lost.write("job.taken", {}, job))
    shop.push(owner.write("device.revoked", {"device": lost.id, "because": "lost"}))
    shop.push(lost.write("job.taken", {}, job))
    order = {"blobs": [ref(values[1])["blob"]], "reason": "asked", "basis": "law"}
    shop.push(owner.write("erasure.ordered", order))
    renew(shop.store, set(), most=2)
    days = {"days": ["2026-01-01", "2026-12-31"]}
    people = {
        "owner": owner,
        "mechanic": phone,
        "revoked": lost,
        "auditor": shop.enrol("auditor"),
        "auditor of jobs": shop.enrol("auditor", scope={"jobs": [job], **days}),
        "auditor of days": shop.enrol("auditor", scope=days),
    }
    return people, {"JOB": job, "VIN": ref(values[0])["blob"], "BUNDLE": bundle.sha256}


GETS = (
    "/api/workshop",
    "/api/keys",
    "/api/log",
    "/api/log?since=5&most=2",
    "/api/jobs",
    "/api/jobs?most=1&after=9.JOB",
    "/api/jobs/JOB/log",
    "/api/jobs/JOB/log?since=5&most=2",
    "/api/jobs/JOB/bag",
    "/api/desk",
    "/api/desk?most=1&after=9.JOB",
    "/api/erasures",
    "/api/findings",
    "/api/held",
    "/api/held/LOST",
    "/api/offers",
    "/api/bundles",
    "/api/bundles/BUNDLE",
    "/api/bundles/BUNDLE/weight",
    "/api/drafts",
    "/api/drafts/tiny",
    "/api/drafts/tiny/zip",
    "/api/drafts/tiny/check",
    "/api/drafts/tiny/changes",
    "/api/drafts/tiny/pictures/notch.png",
    "/api/checkpoint",
    "/api/consistency?from=2&to=9",
    "/api/inclusion?index=2&size=9",
    "/api/blobs/VIN",
    "/api/blobs/VIN/receipt",
    "/api/openapi.json",
)
WRITES = (
    "POST /api/find",
    "POST /api/entries",
    "POST /api/enrol",
    "POST /api/session/nonce",
    "POST /api/session",
    "DELETE /api/session",
    "POST /api/drafts/tiny/hand-in",
    "POST /api/uploads",
    "HEAD /api/uploads/SHA",
    "PATCH /api/uploads/SHA",
)


@pytest.fixture(scope="module")
def heard(tmp_path_factory):
    """Ask for every route as everybody; return what was heard of it."""
    with pytest.MonkeyPatch.context() as monkeypatch:
        heard = Heard(monkeypatch)
        shop = Workshop(tmp_path_factory.mktemp("plans") / "data")
        people, names = history(shop)
        names["LOST"] = people["revoked"].id
        shop.store.checks.note(names["VIN"], "altered")
        client_of = clients(shop)
        for who, phone in people.items():
            client = client_of(phone)
            for path in (_filled(one, names) for one in GETS):
                heard.asking = f"{who} GET {path}"
                refused = (401,) if who == "revoked" else (404, 409)  # a draft is not checked
                assert client.get(path).status_code in (200, *refused), path
            for key in ("vin", "plate", "lot", "tool"):
                for more in ({}, {"after": names["JOB"]}):
                    heard.asking = f"{who} POST /api/find {key} {more}"
                    client.post("/api/find", {key: "TT1", **more})
            heard.asking = f"{who} POST /api/drafts/tiny/hand-in"
            assert client.post("/api/drafts/tiny/hand-in", {}).status_code >= 400  # not checked
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
        return heard


def _filled(path: str, names: dict[str, str]) -> str:
    return re.sub("[A-Z]+", lambda name: names[name[0]], path)


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


def test_every_route_was_asked_for(workshop):
    app = clients(workshop)().app
    asked = {one.split("?")[0] for one in GETS} | {one.split(" ")[1] for one in WRITES}
    rules = {str(rule) for rule in app.url_map.iter_rules() if str(rule).startswith("/api/")}
    named = {
        rule.replace("<job:job>", "JOB")
        .replace("<device:device>", "LOST")
        .replace("/bundles/<sha256:sha256>", "/bundles/BUNDLE")
        .replace("/blobs/<sha256:sha256>", "/blobs/VIN")
        .replace("<sha256:sha256>", "SHA")
        .replace("<draft:draft>", "tiny")
        .replace("<picture:picture>", "notch.png")
        for rule in rules
    }
    assert named == asked


def test_every_table_grows_or_is_said_to_have_few_rows(workshop):
    rows = workshop.store.database.rows("select name from sqlite_schema where type = 'table'")
    assert FEW - {row["name"] for row in rows} == {"slices", "json_each", "CONSTANT"}
    assert {*projector.TABLES} >= {row["name"] for row in rows} - {
        *("records", "nodes", "views_made", "nonces", "sessions"),
    }


def test_a_scan_would_be_found(heard, workshop):
    with pytest.MonkeyPatch.context() as monkeypatch:
        hears = Heard(monkeypatch)
        hears.asking = "somebody"
        database = Database(workshop.store.database.path)
        database.rows("select * from entries where kind = 'job.opened'")
        database.rows('select * from entries where "index" = 3')
    first, second = hears.plans.values()
    assert (len(scans(first)), scans(second)) == (1, [])


def test_a_mechanics_first_page_is_read_by_what_is_shown(workshop):
    """By `last_index` it would be a search, too: through every job that was ever held."""
    sight = Sight("d" * 43, "2026-01-01")
    with workshop.store.database.read() as db:
        plan = db.execute(f"explain query plan {sight.listed}", {**sight.parameters, "since": 0})
        indexes = {word for row in plan for word in row[3].split() if word.startswith("jobs_")}
    assert indexes == {"jobs_open", "jobs_ruled"}
