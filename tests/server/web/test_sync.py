"""A phone's sync over HTTP: sign in, push, pull, and what a broken line may not do."""

import base64
from datetime import timedelta

import pytest

from twoturns.ledger import checkpoint, keys, tree
from workshop import Phone, all_rows, opening, private_value, ref, uuid7

pytestmark = pytest.mark.both_ledgers


def test_a_phone_signs_in_pushes_and_pulls_what_it_pushed(workshop, open_client):
    phone, job = workshop.enrol("mechanic"), uuid7()
    client = open_client(phone)
    vin, plate = private_value("vin", "TT1"), private_value("plate", "W1")
    said = phone.write("job.opened", opening(vin, plate), job)
    receipt = client.push(said, blobs=(vin, plate)).json
    assert receipt["indices"] == {said.id: 3}
    head = checkpoint.open(
        receipt["checkpoint"], workshop.store.ledger.key, workshop.store.ledger.workshop
    )
    assert head.size == 5
    assert receipt["rewound"] is False
    (kept,) = receipt["kept"]
    records = {3: f"{receipt['stamps'][said.id]} {said.line}", kept["index"]: kept["record"]}
    assert is_proven(records, receipt, head)

    log = client.get("/api/log").json
    assert is_proven({row["index"]: row["record"] for row in log["records"]}, log, head)
    assert [row["index"] for row in log["records"]] == [0, 1, 2, 3, 4]
    assert log["records"][3]["record"].endswith(said.line)
    assert client.get(f"/api/jobs/{job}/log").json["records"] == log["records"][3:4]


def is_proven(records, answer, head) -> bool:
    leaves = {index: tree.leaf_hash(record.encode()) for index, record in records.items()}
    proof = [base64.b64decode(node) for node in answer["proof"]]
    return tree.verify_inclusion_of(leaves, head.size, proof, head.root)


def test_a_poor_line_asks_for_few_records_at_a_time(workshop, open_client):
    client = open_client(workshop.enrol("mechanic"))
    whole, since, got = client.get("/api/log").json["records"], 0, []
    while True:
        page = client.get(f"/api/log?since={since}&most=2").json
        got += page["records"]
        assert len(page["records"]) <= 2
        since = page["next"]
        if not page["more"]:
            break
    assert got == whole
    assert client.get("/api/log?most=501").status_code == 422


def test_the_same_push_again_earns_the_same_receipt(workshop, open_client):
    phone = workshop.enrol("mechanic")
    client = open_client(phone)
    vin, plate = private_value("vin", "TT1"), private_value("plate", "W1")
    said = phone.write("job.opened", opening(vin, plate), uuid7())
    first = client.push(said, blobs=(vin, plate)).json
    assert client.push(said, blobs=(vin, plate)).json == first


def test_the_clock_offset_is_measured_at_the_door(workshop, open_client):
    phone = workshop.enrol("mechanic")
    client, said = open_client(phone), phone.write("job.taken", {}, uuid7())
    ahead = {"sent_at": "2026-11-24T12:00:07.250Z", "lines": [said.line]}
    client.post("/api/entries", ahead)
    (record,) = client.get("/api/log?since=3").json["records"]
    assert record["record"].startswith("2026-11-24T12:00:00.000Z +7250 ")

    said = phone.write("job.taken", {}, uuid7())
    nonsense = {"sent_at": "2026-13-45T99:00:00.000Z", "lines": [said.line]}
    client.post("/api/entries", nonsense)
    (record,) = client.get("/api/log?since=4").json["records"]
    assert record["record"].startswith("2026-11-24T12:00:00.000Z ? ")


def seen(text: str) -> str:
    _, size, root, *_ = text.split("\n")
    return f"{size} {root}"


def test_a_rewound_ledger_is_told_to_a_phone_that_saw_more(workshop, open_client):
    phone = workshop.enrol("mechanic")
    client = open_client(phone)
    ours = seen(client.get("/api/checkpoint").json["checkpoint"])
    assert client.get("/api/log", **{"Two-Turns-Seen": ours}).json["rewound"] is False
    vin, plate = private_value("vin", "TT1"), private_value("plate", "W1")
    client.push(phone.write("job.opened", opening(vin, plate), uuid7()), blobs=(vin, plate))
    receipt = f"/api/blobs/{ref(vin)['blob']}/receipt"
    for path in ("/api/log", receipt):
        assert client.get(path, **{"Two-Turns-Seen": ours}).json["rewound"] is False

    longer = f"99 {base64.b64encode(bytes(32)).decode()}"
    other = f"3 {base64.b64encode(bytes(32)).decode()}"
    for header in (longer, other):
        for path in ("/api/log", receipt):
            assert client.get(path, **{"Two-Turns-Seen": header}).json["rewound"] is True
        said = {"sent_at": "2026-11-24T12:00:00.000Z", "lines": []}
        answer = client.post("/api/entries", said, **{"Two-Turns-Seen": header})
        assert answer.json["rewound"] is True
    assert client.get("/api/log", **{"Two-Turns-Seen": "three root"}).json["code"] == "bad-header"
    # A phone enrolled anew asks with what it saw when it was another.
    invitation, secret, person = workshop.invite("mechanic")
    anew = Phone(workshop.store.ledger.workshop, person, "mechanic")
    enrolled = {"line": workshop.enrolment(anew, invitation, secret).line}
    answer = client.post("/api/enrol", enrolled, **{"Two-Turns-Seen": longer})
    assert answer.json["rewound"] is True


def test_a_revoked_phone_reads_nothing_and_its_pushes_are_taken(workshop, open_client):
    phone, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    client, said = open_client(phone), phone.write("job.taken", {}, uuid7())
    workshop.push(owner.write("device.revoked", {"device": phone.id, "because": "lost"}))
    refused = client.get("/api/log")
    assert (refused.status_code, refused.json["code"]) == (401, "device-revoked")
    receipt = client.push(said).json
    assert receipt["indices"] == {said.id: 6}
    client.sign_in(phone)  # the session may be over when it comes home
    assert client.push(said).json == receipt
    owners = open_client(owner)
    assert owners.get("/api/log?since=6").json["records"] == []
    (held,) = owners.get(f"/api/held/{phone.id}").json["records"]
    assert held["record"].endswith(said.line)


def test_a_nonce_serves_once_and_for_its_device_alone(workshop, open_client):
    phone, other = workshop.enrol("mechanic"), workshop.enrol("mechanic")
    client = open_client()
    nonce = client.post("/api/session/nonce", {"device": phone.id}).json["nonce"]

    def sign_in(device, by):
        message = keys.session_message(
            device=device.id, nonce=nonce, workshop=workshop.store.ledger.workshop
        )
        said = {"device": device.id, "nonce": nonce, "signature": by.sign(message)}
        return client.post("/api/session", said).status_code

    assert sign_in(other, by=other) == 401
    assert sign_in(phone, by=phone) == 200
    assert sign_in(phone, by=phone) == 401
    nonce = client.post("/api/session/nonce", {"device": phone.id}).json["nonce"]
    assert sign_in(phone, by=other) == 401
    assert sign_in(phone, by=phone) == 200  # what others guess takes nothing from it
    nonce = client.post("/api/session/nonce", {"device": phone.id}).json["nonce"]
    workshop.now += timedelta(minutes=5, seconds=1)
    assert sign_in(phone, by=phone) == 401


def test_asking_for_nonces_costs_the_workshop_no_row_and_takes_none_away(workshop, open_client):
    phone = workshop.enrol("mechanic")
    stranger, client = open_client(), open_client()
    nonce = client.post("/api/session/nonce", {"device": phone.id}).json["nonce"]
    for _ in range(200):
        stranger.post("/api/session/nonce", {"device": phone.id})
    assert workshop.store.database.rows("select * from nonces") == []
    message = keys.session_message(device=phone.id, nonce=nonce, workshop=phone.workshop)
    said = {"device": phone.id, "nonce": nonce, "signature": phone.sign(message)}
    assert client.post("/api/session", said).status_code == 200


def test_a_session_of_a_clock_that_was_ahead_is_over_when_the_clock_is_right(workshop, open_client):
    phone, right = workshop.enrol("mechanic"), workshop.now
    workshop.now = right + timedelta(days=3650)
    client = open_client(phone)
    workshop.now = right
    assert client.get("/api/log").json["code"] == "not-signed-in"


def test_a_session_ends_by_sign_out_and_by_time(workshop, open_client):
    phone = workshop.enrol("mechanic")
    client = open_client(phone)
    workshop.now += timedelta(hours=11, minutes=59)
    assert client.get("/api/log").status_code == 200
    workshop.now += timedelta(minutes=2)
    assert client.get("/api/log").json["code"] == "not-signed-in"
    client.sign_in(phone)
    assert client.delete("/api/session").status_code == 204
    assert client.get("/api/log").json["code"] == "not-signed-in"


def test_the_session_of_the_device_that_a_phone_was_ends_when_it_is_enrolled_anew(
    workshop, open_client
):
    client = open_client(workshop.enrol("mechanic"))
    cookie = client.headers["Cookie"]
    invitation, secret, person = workshop.invite("owner")
    anew = Phone(workshop.store.ledger.workshop, person, "owner")
    line = workshop.enrolment(anew, invitation, secret).line
    answer = client.post("/api/enrol", {"line": line})
    assert answer.headers["Set-Cookie"].startswith(f"{cookie.partition('=')[0]}=;")
    assert client.get("/api/log").json["code"] == "not-signed-in"


def test_the_database_holds_no_token_that_lets_anybody_in(workshop, open_client):
    client = open_client(workshop.enrol("mechanic"))
    token = client.headers["Cookie"].partition("=")[2]
    assert token not in repr(all_rows(workshop.store))
