"""Apps and servers of different editions: what an app is given, and what it gives."""

from __future__ import annotations

import hashlib
import io

import pytest

from twoturns.bag.verify import verify
from twoturns.ledger import bodies, entry, fields
from twoturns.ledger.bodies import EDITION
from twoturns.ledger.compiled import compiled
from twoturns.ledger.record import parse
from twoturns.procedure.compile.bundle import canonical
from twoturns.procedure.shape import FORM
from twoturns.store import Store
from workshop import (
    NOON,
    PICTURE,
    Phone,
    Workshop,
    clients,
    opening,
    private_value,
    publish_tiny,
    tiny_bundle,
    uuid7,
)

OLD = {"Two-Turns-Reads": "1"}


@pytest.fixture
def older(tmp_path, monkeypatch):
    """A workshop as a server of the first edition made it: its first record says no edition."""
    sign = entry.sign

    def sign_as_it_was(members, key):
        body = {name: value for name, value in members["body"].items() if name != "edition"}
        return sign({**members, "body": body}, key)

    with monkeypatch.context() as patched:
        patched.setattr(entry, "sign", sign_as_it_was)
        return Workshop(tmp_path / "older")


def compile_anew(kind, patched) -> None:
    check = compiled(bodies._SCHEMAS[kind], bodies.EDITION + 1)
    patched.setitem(bodies._CHECKS, kind, check)


def kinds(answer) -> list[str]:
    return [parse(row["record"]).entry.wire_kind for row in answer.json["records"]]


def test_what_the_server_does_not_know_is_kept_and_passed_on(workshop, open_client):
    phone, job = workshop.enrol("mechanic"), uuid7()
    client = open_client(phone)
    vin, plate = private_value("vin", "TT1"), private_value("plate", "W1")
    opened = phone.write("job.opened", opening(vin, plate), job)
    blessed = phone.write_newer("step.blessed", {"with": [1]}, job)
    more = phone.write_newer("step.begun", {"step": "a", "colour": "red"}, job)
    taken = phone.write("job.taken", {}, job)
    answer = client.push(opened, blessed, more, taken, blobs=(vin, plate)).json
    assert answer["refused"] == []
    assert answer["indices"].keys() == {opened.id, blessed.id, more.id, taken.id}
    assert answer["unread"] == [blessed.id, more.id]  # kept, and not in force
    page = client.get(f"/api/jobs/{job}/log")
    assert kinds(page) == ["job.opened", "step.blessed", "step.begun", "job.taken"]
    assert page.json["standings"] == {}
    lines = [row["record"].split(" ", 2)[2] for row in page.json["records"]]
    assert lines == [opened.line, blessed.line, more.line, taken.line]


def test_an_app_that_says_nothing_is_given_what_the_first_edition_can_read(older):
    phone, job = older.enrol("mechanic"), uuid7()
    client = clients(older)(phone)
    vin, plate = private_value("vin", "TT1"), private_value("plate", "W1")
    opened = phone.write("job.opened", opening(vin, plate), job)
    client.push(opened, phone.write_newer("step.blessed", {}, job), blobs=(vin, plate))
    new = kinds(client.get("/api/log"))
    assert new.count("rules.began") == new.count("step.blessed") == 1
    del client.headers["Two-Turns-Reads"]
    old = client.get("/api/log")
    assert kinds(old) == [kind for kind in new if kind not in ("rules.began", "step.blessed")]
    assert old.json["next"] == len(new)
    assert kinds(client.get(f"/api/jobs/{job}/log")) == ["job.opened"]
    assert kinds(client.get("/api/log?most=1")) == ["workshop.keyed"]


def test_it_is_not_given_what_devices_wrote_whose_key_it_cannot_know(older, monkeypatch):
    """An invitation of a later edition: who came in on it is a stranger to that app."""
    phone = older.enrol("mechanic")
    with monkeypatch.context() as patched:
        patched.setattr("twoturns.ledger.bodies_of_workshops.DeviceInvited.since", {"until": 2})
        compile_anew("device.invited", patched)
        stranger = older.enrol("mechanic")
        job = older.open_job(stranger)
        client = clients(older)(phone)
        assert "job.opened" in kinds(client.get(f"/api/jobs/{job}/log"))
        assert kinds(client.get(f"/api/jobs/{job}/log", **OLD)) == []
        assert "job.opened" not in kinds(client.get("/api/log", **OLD))


def test_it_is_told_to_be_updated_where_it_cannot_know_the_workshops_key(workshop, open_client):
    client = open_client(workshop.enrol("mechanic"))
    refused = client.get("/api/log", **OLD)
    assert (refused.status_code, refused.json["code"]) == (409, "app-too-old")
    assert "Update the app" in refused.json["hint"]


@pytest.mark.parametrize("said", ["", "0", "two", "-1", "2 ", "9" * 7])
def test_a_header_that_is_no_number_is_refused(workshop, open_client, said):
    client = open_client(workshop.enrol("mechanic"))
    refused = client.get("/api/log", **{"Two-Turns-Reads": said})
    assert (refused.json["code"], refused.json["where"]) == ("bad-header", "Two-Turns-Reads")


def test_an_older_workshop_says_once_from_where_the_new_rules_hold(older):
    """Before the first thing that a new server writes, and whoever makes it write."""
    older.enrol("mechanic")
    Store(older.folder).ledger.state("retention.set", {"days": 9}, NOON)
    said = [parse(row["record"]).entry.kind for row in older.store.database.rows(RECORDS)]
    assert said[:3] == ["workshop.keyed", "rules.began", "device.invited"]
    assert said.count("rules.began") == 1


def test_what_an_owner_erased_before_they_held_counts_and_after_it_does_not(older, monkeypatch):
    before, after = (older.store.blobs.put(name) for name in (b"before", b"after"))
    with monkeypatch.context() as patched:
        patched.setattr("twoturns.store.book.Book.begin_rules", lambda *_: None)
        owner = older.enrol("owner")
        older.store.ledger.keep([before, after], NOON)
        first = owner.write("blob.erased", {"blob": before, "reason": "r", "basis": "b"})
        older.push(first)
    second = owner.write("blob.erased", {"blob": after, "reason": "r", "basis": "b"})
    older.push(second)
    assert older.store.views.erased() == [before]
    assert [older.store.blobs.has(blob) for blob in (before, after)] == [False, True]
    said = older.store.database.rows("select standing from entries where device = ?", [owner.id])
    assert [row["standing"] for row in said] == ["good", "good", "doubted"]
    older.store.rebuild()
    assert older.store.views.erased() == [before]


def test_a_new_workshop_begins_with_them(workshop):
    workshop.enrol("mechanic")
    first = parse(workshop.store.database.rows(RECORDS)[0]["record"]).entry
    assert first.body["edition"] == EDITION
    assert workshop.store.ledger.size() == 3


def test_an_enrolment_that_cannot_be_read_is_refused_with_the_way_out(workshop, open_client):
    invitation, secret, person = workshop.invite("mechanic")
    phone = Phone(workshop.store.ledger.workshop, person, "mechanic")
    body = {**workshop.enrolment(phone, invitation, secret).body, "colour": "red"}
    for said in (
        phone.write_newer("device.enrolled", body),
        phone.write_newer("job.taken", {}, uuid7()),
    ):
        refused = open_client().post("/api/enrol", {"line": said.line})
        assert (refused.status_code, refused.json["code"]) == (403, "enrolment-refused")
        assert "up to date" in refused.json["hint"]


RECORDS = 'select record from records order by "index"'


def test_a_rebuild_by_a_newer_server_judges_what_lay_unread(workshop, open_client, monkeypatch):
    """Until then no view acts on it: the job stays open, the device stays in."""
    phone, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    job = workshop.open_job(phone)
    closed = phone.write_newer("job.closed", {"end": "finished", "colour": "red"}, job)
    body = {"device": phone.id, "because": "lost", "colour": "red"}
    assert workshop.push(closed, owner.write_newer("device.revoked", body)).refused == []
    assert [row["closed"] for row in workshop.store.views.jobs()] == [None]
    assert not workshop.store.views.device(phone.id).is_revoked
    for kind in ("job.closed", "device.revoked"):
        schema = bodies._SCHEMAS[kind]
        monkeypatch.setitem(schema.fields, "colour", fields.text())
        compile_anew(kind, monkeypatch)
    workshop.store.rebuild()
    assert [row["closed"] for row in workshop.store.views.jobs()] != [None]
    assert workshop.store.views.device(phone.id).is_revoked


def test_the_desk_says_first_what_it_cannot_judge(workshop, open_client):
    bundle = publish_tiny(workshop.store)
    phone, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    values = private_value("vin", "TT1"), private_value("plate", "W1")
    job = uuid7()
    opened = phone.write("job.opened", opening(*values, bundle=bundle.sha256), job)
    blessed = phone.write_newer("step.blessed", {"step": "lock_in", "passed": 5}, job)
    workshop.push(opened, blessed, blobs=values)
    (line,) = open_client(owner).get("/api/desk").json["jobs"]
    assert (line["worst"], line["codes"]) == ("unread", ["unread"])


def test_a_procedure_of_a_newer_form_is_passed_on_and_its_jobs_say_update(workshop, open_client):
    bundle, owner = tiny_bundle(), workshop.enrol("owner")
    data = canonical({**bundle.bundle, "v": FORM + 1})
    sha256 = hashlib.sha256(data).hexdigest()
    body = {"bundle": sha256, "name": "Tiny", "edition": 1, "engine_codes": ["QL-19D4"]}
    workshop.push(owner.write("bundle.published", body))
    workshop.store.ledger.keep([workshop.store.blobs.put(one) for one in (data, PICTURE)], NOON)
    client = open_client(owner)
    (listed,) = client.get("/api/bundles").json["bundles"]
    assert (listed["bundle"], listed["id"]) == (sha256, "tiny")
    assert client.get(f"/api/bundles/{sha256}").data == data
    values, job = (private_value("vin", "TT1"), private_value("plate", "W1")), uuid7()
    workshop.push(owner.write("job.opened", opening(*values, bundle=sha256), job), blobs=values)
    (line,) = client.get("/api/desk").json["jobs"]
    assert line["worst"] == "unread"
    bag = client.get(f"/api/jobs/{job}/bag")
    assert bag.status_code == 200
    verdict = verify(io.BytesIO(bag.data))
    assert verdict.findings == ()
    assert any("Update the program" in said for said in verdict.unchecked)
