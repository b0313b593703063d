"""Who asks without end is told to wait, and when; who comes home after a month is not."""

import base64
import hashlib
import ipaddress
from contextlib import ExitStack
from datetime import timedelta

import pytest

from twoturns.web import limits, origin, serve
from workshop import Phone, clients, private_value, uuid7


@pytest.fixture
def client(workshop, open_client):
    return open_client(workshop.enrol("mechanic"))


def is_told_to_wait(answer, status: int, code: str) -> int:
    assert (answer.status_code, answer.json["code"]) == (status, code)
    assert answer.json["message"]
    assert answer.json["hint"]
    return int(answer.headers["Retry-After"])


def test_a_phone_home_after_a_month_is_not_told_to_wait(workshop, open_client):
    phone = workshop.enrol("mechanic")
    client, job = open_client(phone), uuid7()
    for _ in range(10):
        said = [phone.write("job.taken", {}, job) for _ in range(50)]
        assert len(client.push(*said).json["indices"]) == 50
    for number in range(600):  # each photo: begun, two pieces, its receipt; the dearest is begun
        for _ in range(4):
            answer = client.tus("HEAD", f"/api/uploads/{number:064x}")
            assert answer.status_code == 404


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("/api/session/nonce", {"device": "A" * 43}),
        ("/api/session", {"device": "A" * 43, "nonce": "n", "signature": "s"}),
        ("/api/enrol", {"line": "guessed"}),
    ],
)
def test_guessing_at_the_door_comes_to_an_end(workshop, open_client, path, said):
    stranger = open_client()
    statuses = [stranger.post(path, said).status_code for _ in range(120)]
    assert 429 not in statuses
    wait_s = is_told_to_wait(stranger.post(path, said), 429, "too-many-requests")
    workshop.now += timedelta(seconds=wait_s)
    assert stranger.post(path, said).status_code != 429
    # Nobody else at this address is kept out by it: what holds is not counted.
    assert is_told_to_wait(stranger.post(path, said), 429, "too-many-requests") > 0
    phone = workshop.enrol("mechanic")
    assert open_client(phone).get("/api/log").status_code == 200
    invitation, secret, person = workshop.invite("mechanic")
    comes = Phone(phone.workshop, person, "mechanic")
    line = workshop.enrolment(comes, invitation, secret).line
    assert stranger.post("/api/enrol", {"line": line}).status_code == 200


def test_an_allowance_emptied_by_a_clock_that_was_ahead_comes_back(workshop, monkeypatch):
    few = limits.Allowance("too-many-requests", 1, 1, "this device asks too often")
    monkeypatch.setattr("twoturns.web.access.REQUESTS", few)
    seconds, phone, right = [0.0], workshop.enrol("mechanic"), workshop.now
    workshop.now = right + timedelta(days=3650)
    open_client = clients(workshop, ticks=lambda: seconds[0])
    assert open_client(phone).get("/api/log").status_code == 200
    workshop.now = right
    client = open_client(phone)
    is_told_to_wait(client.get("/api/log"), 429, "too-many-requests")
    seconds[0] = 2.0
    assert client.get("/api/log").status_code == 200


def test_a_device_that_asks_without_end_leaves_the_others_alone(
    workshop, open_client, client, monkeypatch
):
    other = open_client(workshop.enrol("mechanic"))
    few = limits.Allowance("too-many-requests", 3, 1, "this device asks too often")
    monkeypatch.setattr("twoturns.web.access.REQUESTS", few)
    for _ in range(3):
        assert client.get("/api/log").status_code == 200
    assert is_told_to_wait(client.get("/api/log"), 429, "too-many-requests") == 1
    assert other.get("/api/log").status_code == 200
    workshop.now += timedelta(seconds=2)
    assert client.get("/api/log").status_code == 200


def test_a_device_opens_jobs_up_to_a_day_s_worth_and_an_owner_s_brings_all(
    workshop, open_client, monkeypatch
):
    few = limits.Allowance(
        "too-many-jobs", 2, 2 / limits.DAY, "this device has opened 2 jobs today", "jobs"
    )
    monkeypatch.setattr("twoturns.web.entries.JOBS", few)
    phone, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    client = open_client(phone)
    refs = {name: {"blob": hashlib.sha256(name.encode()).hexdigest()} for name in ("vin", "plate")}
    body = {"bundle": "ab" * 32, **refs, "odometer_km": 1, "engine_code": "Q", "bay": "2"}
    said = [phone.write("job.opened", body, uuid7()) for _ in range(4)]
    assert len(client.push(*said[:2]).json["indices"]) == 2
    size = workshop.store.ledger.size()
    assert is_told_to_wait(client.push(said[2]), 429, "too-many-jobs") == limits.DAY / 2
    assert workshop.store.ledger.size() == size
    assert client.push(phone.write("job.taken", {}, said[0].job)).status_code == 200
    workshop.now += timedelta(days=1)
    assert len(open_client(phone).push(said[2]).json["indices"]) == 1
    assert len(open_client(owner).push(*said).json["indices"]) == 4


@pytest.mark.parametrize("kind", ["job.taken", "zz.zz"])
def test_any_entry_into_a_job_that_is_not_here_begins_one(workshop, open_client, monkeypatch, kind):
    few = limits.Allowance(
        "too-many-jobs", 2, 2 / limits.DAY, "this device has begun 2 jobs today", "jobs"
    )
    monkeypatch.setattr("twoturns.web.entries.JOBS", few)
    phone = workshop.enrol("mechanic")
    client, jobs = open_client(phone), [uuid7() for _ in range(3)]
    said = [phone.write_newer(kind, {}, job) for job in (jobs[0], jobs[0], jobs[1])]
    for _ in range(3):  # an answer that was lost: sent again, it costs nothing
        assert len(client.push(*said).json["indices"]) == 3
    is_told_to_wait(client.push(phone.write_newer(kind, {}, jobs[2])), 429, "too-many-jobs")
    assert client.push(phone.write_newer(kind, {}, jobs[1])).status_code == 200


def test_what_nobody_here_can_read_is_bounded_by_the_day_and_the_rest_goes_on(
    workshop, open_client
):
    phone, job, owner = workshop.enrol("mechanic"), uuid7(), workshop.enrol("owner")
    client, body = open_client(phone), {"x": ["y" * 1900] * 30}
    large = [phone.write_newer("zz.zz", body, where) for where in [None, job] * 10]
    plain = phone.write("job.taken", {}, job)
    answer = client.push(*large, plain).json
    fit = 2**20 // len(large[0].line)
    assert len(answer["indices"]) == fit + 1
    assert plain.id in answer["indices"]
    assert {one["code"] for one in answer["refused"]} == {"unread-full"}
    assert "up to date" in answer["refused"][0]["hint"]
    assert client.push(*large[:fit]).json["refused"] == []  # what is here earns its receipt again
    workshop.now += timedelta(days=1, seconds=1)
    client.sign_in(phone)
    assert client.push(*large[fit:]).json["refused"] == []  # nothing is refused for good
    more = [owner.write_newer("zz.zz", body) for _ in range(20)]
    assert open_client(owner).push(*more).json["refused"] == []


def begin(client, data: bytes):
    sha256 = hashlib.sha256(data).hexdigest()
    said = f"sha256 {base64.b64encode(sha256.encode()).decode()}"
    return client.tus("POST", "/api/uploads", Upload_Length=str(len(data)), Upload_Metadata=said)


def send(client, data: bytes, upto: int):
    kind = {"Content_Type": "application/offset+octet-stream", "Upload_Offset": "0"}
    sha256 = hashlib.sha256(data).hexdigest()
    return client.tus("PATCH", f"/api/uploads/{sha256}", data[:upto], **kind)


def test_what_a_device_sends_in_a_day_is_bounded_begun_or_finished(
    workshop, open_client, monkeypatch
):
    phone = workshop.enrol("mechanic")
    client = open_client(phone)
    few = limits.Allowance(
        "device-quota", 1000, 1000 / limits.DAY, "this device has sent 1 kB", "bytes"
    )
    monkeypatch.setattr("twoturns.web.uploads.BYTES", few)
    one, two, three = (bytes([n]) * 400 for n in (1, 2, 3))
    begin(client, one)
    assert send(client, one, 400).status_code == 204
    begin(client, two)
    assert send(client, two, 300).status_code == 204  # a half counts as what has come of it
    assert begin(client, two).status_code == 201  # and its rest still fits
    wait_s = is_told_to_wait(begin(client, three), 507, "device-quota")
    assert not workshop.store.blobs.has(hashlib.sha256(three).hexdigest())
    other = open_client(workshop.enrol("mechanic"))
    assert begin(other, three).status_code == 201
    workshop.now += timedelta(seconds=wait_s)
    client.sign_in(phone)  # the wait is longer than a session
    assert begin(client, three).status_code == 201


def test_private_values_and_entries_go_on_when_the_photos_must_wait(
    workshop, open_client, monkeypatch
):
    none = limits.Allowance("device-quota", 0, 1, "nothing left", "bytes")
    monkeypatch.setattr("twoturns.web.uploads.BYTES", none)
    phone = workshop.enrol("mechanic")
    client, value = open_client(phone), private_value("words", "tight")
    assert begin(client, b"photo").status_code == 507
    answer = client.push(phone.write("job.taken", {}, uuid7()), blobs=(value,))
    assert answer.json["refused"] == []


@pytest.fixture
def begin_body(monkeypatch):
    """Return a way to begin bodies, which are all on their way in until the test ends."""
    monkeypatch.setattr(limits, "PATIENCE_S", 0)
    held = limits.Limits()
    with ExitStack() as stack:

        def begun(who: str, *, is_stranger: bool = False) -> None:
            stack.enter_context(held.body(who, is_stranger=is_stranger))

        yield begun


def test_bodies_on_their_way_in_leave_threads_for_the_others(begin_body):
    assert limits.BODIES < serve.THREADS
    for n in range(limits.BODIES_OF_STRANGERS):
        begin_body(f"address {n}", is_stranger=True)
    with pytest.raises(limits.Refused, match="on its way"):
        begin_body("one more", is_stranger=True)
    for n in range(limits.BODIES - limits.BODIES_OF_STRANGERS):
        begin_body(f"phone {n}")
    with pytest.raises(limits.Refused, match="on its way"):
        begin_body("the last")


def test_bodies_that_do_not_end_hold_up_nobody_but_who_sends_them(begin_body):
    """Six phones and three strangers do their worst: all others go on."""
    worst = [(f"phone {n}", False) for n in range(6)] + [(f"address {n}", True) for n in range(3)]
    for who, is_stranger in worst:
        for _ in range(limits.BODIES_OF_ONE):
            begin_body(who, is_stranger=is_stranger)
        with pytest.raises(limits.Refused, match="on its way"):
            begin_body(who, is_stranger=is_stranger)
    for n in range(8):
        begin_body(f"honest phone {n}")
    for n in range(4):
        begin_body(f"honest stranger {n}", is_stranger=True)


def test_a_stranger_is_no_more_strangers_for_having_many_addresses(open_client):
    stranger = open_client()

    def status(address: str) -> int:
        return stranger._client.post(
            "/api/session/nonce",
            json={"device": "A" * 43},
            environ_overrides={"REMOTE_ADDR": address},
        ).status_code

    assert 429 not in [status(f"2001:db8:1:2::{n:x}") for n in range(120)]
    assert status("2001:db8:1:2:ffff::1") == 429
    assert status("2001:db8:1:3::1") != 429
    assert 429 not in [status(f"192.0.2.{n}") for n in range(121)]  # of IPv4 each is one


def test_an_address_of_any_form_has_its_neighbourhood():
    said = ["2001:db8::1", "::ffff:192.0.2.1", "192.0.2.1", "fe80::1%eth0", "", "unix:"]
    assert [origin.neighbourhood(one) for one in said] == [
        "2001:db8::/64",
        "192.0.2.1",
        "192.0.2.1",
        "fe80::/64",
        "",
        "unix:",
    ]


BEHIND = [
    # The header as it arrives, and what tells strangers apart: RFC 7239, sections 4 and 5.2.
    ({"X-Forwarded-For": "203.0.113.9"}, "203.0.113.9"),
    ({"X-Forwarded-For": "1.1.1.1, 203.0.113.9"}, "203.0.113.9"),  # the asker's own word is left
    ({"X-Forwarded-For": "203.0.113.9, 10.1.2.3"}, "203.0.113.9"),  # two proxies of ours
    ({"X-Forwarded-For": "203.0.113.9:4711"}, "203.0.113.9"),
    ({"X-Forwarded-For": "2001:db8:cafe::17"}, "2001:db8:cafe::/64"),
    ({"Forwarded": 'For="[2001:db8:cafe::17]:4711"'}, "2001:db8:cafe::/64"),
    ({"Forwarded": "for=192.0.2.60;proto=http;by=203.0.113.43"}, "192.0.2.60"),
    ({"Forwarded": "for=192.0.2.43, for=198.51.100.17"}, "198.51.100.17"),
    ({"Forwarded": 'for="_a,b", for=198.51.100.17'}, "198.51.100.17"),
    ({"Forwarded": "for=192.0.2.43, for=unknown"}, "10.0.0.1"),
    ({"Forwarded": "proto=https;by=203.0.113.43"}, "10.0.0.1"),
    ({"Forwarded": "for=1.1.1.1", "X-Forwarded-For": "203.0.113.9"}, "10.0.0.1"),
    ({"Forwarded": "for=203.0.113.9", "X-Forwarded-For": "203.0.113.9"}, "203.0.113.9"),
    ({"X-Forwarded-For": "nonsense"}, "10.0.0.1"),
    ({}, "10.0.0.1"),
]


@pytest.mark.parametrize(("headers", "expected"), BEHIND)
def test_a_named_proxy_says_who_asks_and_nobody_else_does(workshop, headers, expected):
    near = [ipaddress.ip_network("10.0.0.0/8")]
    app = clients(workshop, proxies=near)().app
    with app.test_request_context(headers=headers, environ_base={"REMOTE_ADDR": "10.0.0.1"}):
        assert origin.origin() == expected
    with app.test_request_context(headers=headers, environ_base={"REMOTE_ADDR": "192.0.2.1"}):
        assert origin.origin() == "192.0.2.1"


def test_the_list_of_strangers_has_an_end(workshop, monkeypatch):
    monkeypatch.setattr(limits, "MOST_KNOWN", 10)
    held = limits.Limits()
    for number in range(200):
        held.take(limits.AT_THE_DOOR, f"address {number}")
    assert len(held._left) <= 10


def test_no_body_is_read_before_it_is_clear_who_sends_it(open_client):
    read = []

    class Body:
        def read(self, *_):
            read.append(1)
            return b""

    browser = open_client()._client
    for path, method in (("/api/entries", "POST"), ("/api/uploads/" + "a" * 64, "PATCH")):
        answer = browser.open(
            path,
            method=method,
            environ_overrides={"wsgi.input": Body(), "CONTENT_LENGTH": "8000000"},
            content_type="application/json",
        )
        assert answer.json["code"] == "not-signed-in"
    assert read == []
