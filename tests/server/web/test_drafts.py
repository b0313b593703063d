"""
Drafts over HTTP: who may, two who write at once, and a check that ends.

Preconditions are those of RFC 9110, section 13.1; 428 is of RFC 6585, section 3.
"""

import io
import time
import zipfile
from pathlib import Path

import pytest

from photos import photo
from tiny_procedure import TINY_SOURCE
from twoturns.procedure.compile.bundle import load
from twoturns.store.bundles import publish
from workshop import NOON, Client

ROADSIDE = Path(__file__).parents[3] / "demo_jobs" / "roadside-auxiliary-belt" / "procedure.yaml"
pytestmark = pytest.mark.slow(6)
DRAFT = "/api/drafts/tiny"
NEW = {"If-None-Match": "*"}
PATIENCE_S = 60


def without_step(source: str, name: str) -> str:
    """Return a procedure's source without one of its steps."""
    before, _, rest = source.partition(f"  - id: {name}\n")
    return before + rest[rest.index("  - id: ") :]


def read_as(version: str) -> dict[str, str]:
    return {"If-Match": f'"{version}"'}


@pytest.fixture
def owner(workshop, open_client):
    return open_client(workshop.enrol("owner"))


def written(client: Client, text: str = TINY_SOURCE) -> str:
    """Begin the draft, and return its version."""
    answer = client.put(DRAFT, {"text": text}, **NEW)
    assert answer.status_code == 200, answer.json
    return answer.json["version"]


def checked(client: Client) -> dict:
    """Check the draft to the end."""
    assert client.post(f"{DRAFT}/check", {}).status_code == 202
    until = time.monotonic() + PATIENCE_S
    while (told := client.get(f"{DRAFT}/check").json)["state"] == "running":
        assert time.monotonic() < until
        time.sleep(0.05)
    return told


def test_a_draft_is_written_read_and_listed(owner):
    version = written(owner, "id: tiny  # not finished\n")
    said = owner.get(DRAFT).json
    assert said == {
        "draft": "tiny",
        "version": version,
        "text": "id: tiny  # not finished\n",
        "pictures": [],
    }
    (row,) = owner.get("/api/drafts").json["drafts"]
    assert row["draft"] == "tiny"


def test_only_an_owner_may_and_for_others_there_is_nothing(workshop, open_client, owner):
    version = written(owner)
    for role in ("mechanic", "auditor"):
        other = open_client(workshop.enrol(role))
        answers = [
            *(other.get(path) for path in ("/api/drafts", DRAFT, f"{DRAFT}/zip", f"{DRAFT}/check")),
            other.put(DRAFT, {"text": "x"}, **read_as(version)),
            other.put("/api/drafts/mine", {"text": "x"}, **NEW),
            other.post(f"{DRAFT}/check", {}),
            other.post(f"{DRAFT}/hand-in", {}, **read_as(version)),
        ]
        assert {answer.status_code for answer in answers} == {404}
    assert open_client().get(DRAFT).status_code == 401
    assert owner.get(DRAFT).json["version"] == version


def test_of_two_who_write_at_once_the_second_is_refused_and_nothing_is_lost(owner):
    version = written(owner)
    first = owner.put(DRAFT, {"text": "a: 1\n"}, **read_as(version))
    second = owner.put(DRAFT, {"text": "b: 2\n"}, **read_as(version))
    assert first.status_code == 200
    assert (second.status_code, second.json["code"]) == (412, "draft-changed")
    assert owner.get(DRAFT).json["text"] == "a: 1\n"
    again = owner.put(DRAFT, {"text": "c: 3\n"}, **NEW)
    assert (again.status_code, again.json["code"]) == (412, "draft-exists")


@pytest.mark.parametrize("header", [{}, {"If-Match": "*"}, {"If-Match": 'W/"abc"'}])
def test_who_does_not_say_what_he_has_read_writes_nothing(owner, header):
    version = written(owner)
    answer = owner.put(DRAFT, {"text": "x"}, **header)
    assert (answer.status_code, answer.json["code"]) == (428, "version-missing")
    assert answer.json["hint"]
    assert owner.get(DRAFT).json["version"] == version


@pytest.mark.parametrize("name", ["..", "%2e%2e%2fx", "A", "a" * 41, "a.zip", "a%00", "-a", "a/b"])
def test_a_name_that_is_none_reaches_no_file(owner, workshop, name):
    answer = owner.put(f"/api/drafts/{name}", {"text": "x"}, **NEW)
    assert answer.status_code in (404, 405)
    assert not list(workshop.folder.rglob("*.zip"))


def test_pictures_come_and_go_each_with_a_version_of_its_own(owner):
    version = written(owner)
    path = f"{DRAFT}/pictures/notch.jpg"
    put = owner.put_bytes(path, photo(), **read_as(version))
    assert put.status_code == 200
    assert put.json["version"] != version
    shown = owner.get(path)
    assert shown.data == photo()
    assert "attachment" in shown.headers["Content-Disposition"]
    assert "sandbox" in shown.headers["Content-Security-Policy"]
    gone = owner.delete(path, **read_as(put.json["version"]))
    assert gone.json["version"] == version  # the same draft as before is the same version
    assert owner.get(path).status_code == 404


def test_what_goes_out_as_a_zip_comes_back_as_it_was(owner):
    version = written(owner)
    put = owner.put_bytes(f"{DRAFT}/pictures/notch.jpg", photo(), **read_as(version))
    exported = owner.get(f"{DRAFT}/zip")
    with zipfile.ZipFile(io.BytesIO(exported.data)) as archive:
        assert archive.namelist() == ["procedure.yaml", "notch.jpg"]
        assert archive.read("procedure.yaml").decode() == TINY_SOURCE
    back = owner.put_bytes("/api/drafts/again/zip", exported.data, **NEW)
    assert back.json["version"] == put.json["version"]


def test_a_body_over_the_limit_is_refused_and_one_that_says_it_is_other_too(owner):
    long = owner.put_bytes("/api/drafts/big/zip", bytes(9 * 2**20), **NEW)
    assert (long.status_code, long.json["code"]) == (413, "too-large")
    other = owner.put_bytes("/api/drafts/big/zip", b"PK", "text/html", **NEW)
    assert (other.status_code, other.json["code"]) == (415, "wrong-content-type")


def test_a_draft_that_is_thrown_away_is_gone(owner):
    version = written(owner)
    assert owner.delete(DRAFT, **read_as("0" * 64)).json["code"] == "draft-changed"
    assert owner.delete(DRAFT, **read_as(version)).json == {"drafts": []}
    assert owner.get(DRAFT).json["code"] == "no-draft"
    assert owner.get(f"{DRAFT}/check").json["code"] == "no-draft"


def test_faults_of_a_source_are_told_at_their_places(owner):
    version = written(owner, "id: tiny\nid: tiny\nname: &a x\n")
    told = checked(owner)
    assert (told["state"], told["report"]["version"]) == ("done", version)
    found = {(one["code"], one["line"], one["column"]) for one in told["report"]["findings"]}
    assert ("alias", 3, 7) in found
    assert any((code, line) == ("twice", 2) for code, line, _ in found)
    assert all(one["message"] and one["hint"] for one in told["report"]["findings"])
    assert told["report"]["bundle"] is None


def test_what_is_proved_is_handed_in_and_waits_for_an_owner(owner):
    version = written(owner, ROADSIDE.read_text())
    unchecked = owner.post(f"{DRAFT}/hand-in", {}, **read_as(version))
    assert (unchecked.status_code, unchecked.json["code"]) == (409, "not-proved")
    report = checked(owner)["report"]
    assert (report["findings"], report["version"]) == ([], version)
    assert report["states"] > 500
    handed = owner.post(f"{DRAFT}/hand-in", {}, **read_as(version))
    assert handed.json == {"bundle": report["sha256"], "is_new": True}
    (offer,) = owner.get("/api/offers").json["offers"]
    assert offer["bundle"] == report["sha256"]
    assert owner.get("/api/bundles").json["bundles"] == []  # only an owner's device publishes
    told = owner.get(f"{DRAFT}/changes").json
    assert (told["edition"], told["against"], told["changes"]) == (1, None, [])
    later = owner.put(DRAFT, {"text": "id: tiny\n"}, **read_as(version)).json["version"]
    for said, code in ((version, "draft-changed"), (later, "not-proved")):
        assert owner.post(f"{DRAFT}/hand-in", {}, **read_as(said)).json["code"] == code


def test_what_leads_nowhere_comes_with_a_way_there_and_is_not_handed_in(owner):
    version = written(owner, without_step(ROADSIDE.read_text(), "secure_again"))
    report = checked(owner)["report"]
    assert report["bundle"].startswith("{")
    (first, *_) = [one for one in report["findings"] if one["way"]]
    assert first["line"]
    assert len(first["sequence"]) == len(first["way"])
    faulty = owner.post(f"{DRAFT}/hand-in", {}, **read_as(version))
    assert (faulty.status_code, faulty.json["code"]) == (409, "not-proved")
    assert owner.get("/api/offers").json["offers"] == []


def test_what_an_edition_would_change_is_said_before_it_is_handed_in(workshop, owner):
    publish(workshop.store, load(ROADSIDE.parent), NOON)
    source = ROADSIDE.read_text().replace("edition: 1", "edition: 2", 1)
    written(owner, source.replace("new bolt, 31 N·m", "new bolt, 32 N·m", 1))
    assert owner.get(f"{DRAFT}/changes").json["code"] == "not-proved"  # nothing was checked
    checked(owner)
    told = owner.get(f"{DRAFT}/changes").json
    assert (told["edition"], told["against"], told["open_jobs"]) == (2, 1, 0)
    assert any("32 N·m" in change["says"] and change["heading"] for change in told["changes"])
