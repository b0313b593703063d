"""
Drafts over HTTP: who may, two who write at once, and a check that ends.

Preconditions are those of RFC 9110, section 13.1; 428 is of RFC 6585, section 3.
"""

import io
import json
import time
import zipfile

import pytest

from demo_procedures import ROADSIDE, VAN, loaded, text_of, written_of
from photos import photo
from tiny_block import FILES, written_with
from tiny_procedure import TINY_SOURCE
from twoturns.procedure.blocks.library import library
from twoturns.procedure.language import source
from twoturns.procedure.language.source import plain
from twoturns.store.bundles import publish
from workshop import NOON, Client

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


MEASURED = {
    "engine": "PL-8",
    "belt": "96x8",
    "wheels": ["crank:0,0:20t", "tensioner:-34,130:60mm:throw8", "cam:10,260:40t"],
    "clockwise": True,
}


def test_a_draft_is_begun_out_of_measured_wheels(owner):
    answer = owner.put("/api/drafts/stand-drive/begin", MEASURED, **NEW)
    assert answer.status_code == 200, answer.json
    text = owner.get("/api/drafts/stand-drive").json["text"]
    assert text.count("id: stand_drive\n") == 1
    assert "id: cam, label: CAM" in text
    assert "blocks:" not in text
    with_blocks = {**MEASURED, "blocks": ["workshop_job", "battery_off"]}
    assert owner.put("/api/drafts/with-blocks/begin", with_blocks, **NEW).status_code == 200
    assert "  battery_off:" in owner.get("/api/drafts/with-blocks").json["text"]
    unknown = {**MEASURED, "blocks": ["../x"]}
    assert owner.put("/api/drafts/unknown/begin", unknown, **NEW).status_code == 422
    again = owner.put("/api/drafts/stand-drive/begin", MEASURED, **NEW)
    assert (again.status_code, again.json["code"]) == (412, "draft-exists")


@pytest.mark.parametrize(
    "spoilt",
    [
        {"wheels": ["crank:0,0:20t", "cam:10,260:40t"]},
        {"wheels": [*MEASURED["wheels"], "oil;rm"]},
        {"wheels": ["crank:0,0:20t", "tensioner:-34,130:60mm:throw8", "cam:1.2.3,9:40t"]},
        {"wheels": ["crank:0,0:20t", "tensioner:-34,130:60mm:throw8", "cam:10,2600:40t"]},
        {"wheels": [f"crank:0,0:{'9' * 60}t", *MEASURED["wheels"][1:]]},
        {"belt": "96"},
        {"belt": f"{'9' * 400}x8"},
    ],
)
def test_what_makes_no_drive_begins_no_draft(owner, spoilt):
    answer = owner.put("/api/drafts/stand/begin", {**MEASURED, **spoilt}, **NEW)
    assert (answer.status_code, answer.json["code"]) == (400, "bad-wheels"), answer.json
    assert owner.get("/api/drafts").json["drafts"] == []


def drive_of(name: str) -> dict:
    """Return a demo's drive, as a reader of text has it."""
    return plain(source.read(written_of(name).encode()).root)["drive"]


def fit_of(owner: Client, block: dict) -> dict:
    answer = owner.post("/api/drive", {"text": json.dumps({"drive": block})})  # JSON is YAML
    assert answer.status_code == 200, answer.json
    return answer.json


def test_a_drive_says_how_its_belt_fits_and_what_it_states_otherwise(owner):
    block = drive_of(VAN)
    told = fit_of(owner, block)
    assert told["fault"] is None
    pitch = float(block["belt"]["pitch_mm"])
    assert told["length_mm"] == f"{int(block['belt']['teeth']) * pitch:.2f}"
    assert [wheel["id"] for wheel in told["wheels"]] == [one["id"] for one in block["wheels"]]
    # Of a closed belt the wraps differ by one whole turn, those on the back against the others.
    wraps = zip(block["wheels"], told["wheels"], strict=True)
    signed = [(-1) ** (one["side"] == "outside") * float(wheel["wrap_deg"]) for one, wheel in wraps]
    assert sum(signed) == pytest.approx(360, abs=0.5)  # plane geometry, no source
    stated = [int(count["teeth"]) for count in block["counts"]]
    assert [round(float(count["teeth"])) for count in told["counts"]] == stated

    notch = next(one for one in block["wheels"] if "stud" in one)
    assert min(abs(float(notch["notch_deg"]) - float(angle)) for angle in told["angles_deg"]) < 3
    notch["notch_deg"] = "17"
    told = fit_of(owner, block)
    assert told["wheels"]
    assert told["fault"]["hint"]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda block: block.clear(),
        lambda block: block.update(wheels="none"),
        lambda block: block.update(wheels=[1, 2]),
        lambda block: block.update(wheels=block["wheels"] * 9),
        lambda block: block["belt"].update(teeth=["140"]),
        lambda block: block["belt"].update(teeth="9" * 400),
        lambda block: block["wheels"][1].update(at=["1e9", "nan"]),
        lambda block: block["wheels"][0].update(teeth={}),
        lambda block: block.update(counts=[[]]),
        lambda block: block.update(counts=[{"from": "crank", "to": []}]),
    ],
)
def test_what_is_no_drive_is_told_and_breaks_nothing(owner, spoil):
    block = drive_of(VAN)
    spoil(block)
    assert fit_of(owner, block)["fault"]["message"]


def test_a_text_without_a_drive_is_told(owner):
    for text in ("", "drive: none", "a: [", "- drive", "id: x"):
        told = owner.post("/api/drive", {"text": text})
        assert told.json["fault"]["hint"], told.json
        assert told.json["wheels"] == []


def test_an_engine_code_is_no_text_that_ends_its_line(owner):
    for engine in ("", "PL-8\nid: x", "a" * 65, "x}"):
        answer = owner.put("/api/drafts/stand/begin", {**MEASURED, "engine": engine}, **NEW)
        assert answer.status_code == 422


def test_a_draft_under_another_name_takes_its_pictures_and_blocks_along(owner):
    version = written(owner)
    put = owner.put_bytes(f"{DRAFT}/pictures/notch.jpg", photo(), **read_as(version))
    assert put.status_code == 200
    name = DRAFT.rpartition("/")[2]
    copy = {"text": "id: mine\n", "beside": name}
    assert owner.put("/api/drafts/copy", copy, **NEW).status_code == 200
    assert owner.get("/api/drafts/copy").json["text"] == "id: mine\n"
    picture = owner.get("/api/drafts/copy/pictures/notch.jpg")
    assert picture.data == photo()
    for beside, code in (("nobody", 404), ("../x", 422)):
        answer = owner.put("/api/drafts/other", {"text": "", "beside": beside}, **NEW)
        assert answer.status_code == code


def test_the_blocks_say_what_they_ask_for(owner):
    told = {one["block"]: one for one in owner.get("/api/blocks").json["blocks"]}
    assert set(told) == set(library())
    mount = told["engine_mount"]
    assert mount["because"]
    assert {"id", "title"} == mount["steps"][0].keys()
    (torque,) = [one for one in mount["fill_in"] if one["name"] == "mount_torque"]
    assert (torque["kind"], torque["unit"], torque["may_lack"]) == ("figure", "N·m", False)
    (name,) = [one for one in mount["fill_in"] if one["name"] == "mount"]
    assert name["may_lack"]  # it is called something where nothing is filled in
    (locks,) = [one for one in told["locks"]["fill_in"] if one["name"] == "locks"]
    assert locks["kind"] == "list"
    assert {"name": "lock", "kind": "name"} in locks["of"]
    assert torque["of"] == []


def test_a_fault_of_a_block_is_told_with_its_line_there_and_here(owner):
    written(owner, TINY_SOURCE.replace("phases:\n", "blocks:\n  battery_off: {}\nphases:\n"))
    found = [one for one in checked(owner)["report"]["findings"] if one["block"]]
    assert found
    assert {one["block"]["block"] for one in found} == {"battery_off"}
    assert all(one["line"] and one["block"]["line"] > 1 for one in found)


def test_a_draft_brings_its_own_blocks_and_keeps_them_as_it_is_written(owner):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("mine/procedure.yaml", "id: tiny\n")
        archive.writestr("mine/blocks/lock_and_belt.yaml", FILES["lock_and_belt.yaml"])
    version = owner.put_bytes(f"{DRAFT}/zip", out.getvalue(), **NEW).json["version"]
    owner.put(DRAFT, {"text": written_with()}, **read_as(version))
    report = checked(owner)["report"]
    assert report["bundle"], report["findings"]
    (taken,) = json.loads(report["bundle"])["blocks"]
    assert (taken["id"], taken["edition"]) == ("lock_and_belt", 3)


def test_what_is_proved_is_handed_in_and_waits_for_an_owner(workshop, owner):
    version = written(owner, text_of(ROADSIDE))
    unchecked = owner.post(f"{DRAFT}/hand-in", {}, **read_as(version))
    assert (unchecked.status_code, unchecked.json["code"]) == (409, "not-proved")
    report = checked(owner)["report"]
    assert (report["findings"], report["version"]) == ([], version)
    assert report["states"] > 500
    house = workshop.folder / "house.yaml"
    house.write_text("instead: {}\n")  # proved by other words than the workshop's of now
    by_others = owner.post(f"{DRAFT}/hand-in", {}, **read_as(version))
    assert (by_others.status_code, by_others.json["code"]) == (409, "not-proved")
    house.unlink()
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
    version = written(owner, without_step(text_of(ROADSIDE), "secure_again"))
    report = checked(owner)["report"]
    assert report["bundle"].startswith("{")
    (first, *_) = [one for one in report["findings"] if one["way"]]
    assert first["line"]
    assert len(first["sequence"]) == len(first["way"])
    faulty = owner.post(f"{DRAFT}/hand-in", {}, **read_as(version))
    assert (faulty.status_code, faulty.json["code"]) == (409, "not-proved")
    assert owner.get("/api/offers").json["offers"] == []


def test_what_an_edition_would_change_is_said_before_it_is_handed_in(workshop, owner):
    publish(workshop.store, loaded(ROADSIDE), NOON)
    source = text_of(ROADSIDE).replace("edition: 1", "edition: 2", 1)
    written(owner, source.replace("new bolt, 31 N·m", "new bolt, 32 N·m", 1))
    assert owner.get(f"{DRAFT}/changes").json["code"] == "not-proved"  # nothing was checked
    checked(owner)
    told = owner.get(f"{DRAFT}/changes").json
    assert (told["edition"], told["against"], told["open_jobs"]) == (2, 1, 0)
    assert any("32 N·m" in change["says"] and change["heading"] for change in told["changes"])
