"""Two workshops in one process: strangers to each other, whatever one of them is asked or sent."""

import base64
import hashlib
import json
import logging
import shutil
from contextlib import ExitStack, suppress
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from twoturns.ledger import private
from twoturns.store import events
from twoturns.store.installation import Installation
from twoturns.store.views import Views
from twoturns.web import create_app, duties, workshops
from twoturns.web.limits import BODIES_OF_A_WORKSHOP, Allowance, Bodies
from twoturns.web.problems import Refused
from workshop import NOON, Client, Phone, Workshop, opening, private_value, uuid7

pytestmark = pytest.mark.slow(8)
NORTH, SOUTH = "north.example", "south.example"
PHOTO = b"\xff\xd8\xff\xe0 of a belt in the north"
SHA = hashlib.sha256(PHOTO).hexdigest()


@dataclass
class Chain:
    """An installation of two, its app, and an owner of each with a signed-in client."""

    folder: Path
    app: Any
    north: Workshop
    south: Workshop
    northerner: Phone
    southerner: Phone

    def client(self, host: str, phone: Phone | None = None) -> Client:
        return Client(self.app, phone, host=host)


@pytest.fixture
def chain(request, tmp_path, monkeypatch):
    if getattr(request, "param", "sqlite") == "postgresql":
        monkeypatch.setenv("TWOTURNS_LEDGER", request.getfixturevalue("postgres").url)
    installation = Installation(tmp_path / "chain")
    installation.make()
    north, south = (Workshop(installation.place(name)) for name in (NORTH, SOUTH))
    clocks = {"clock": lambda: NOON, "ticks": lambda: north.now.timestamp()}
    app = create_app(installation.folder, **clocks)
    return Chain(installation.folder, app, north, south, north.enrol("owner"), south.enrol("owner"))


def send_photo(client: Client) -> None:
    metadata = f"sha256 {base64.b64encode(SHA.encode()).decode()}"
    length = str(len(PHOTO))
    begun = client.tus("POST", "/api/uploads", Upload_Length=length, Upload_Metadata=metadata)
    assert begun.status_code == 201
    sent = client.tus(
        "PATCH",
        f"/api/uploads/{SHA}",
        PHOTO,
        Upload_Offset=begun.headers["Upload-Offset"],
        Content_Type="application/offset+octet-stream",
    )
    assert (sent.status_code, sent.headers["Upload-Offset"]) == (204, length)


def test_each_host_name_has_its_own_workshop_and_a_name_that_nobody_has_is_not_found(chain):
    for host, workshop in (
        (NORTH, chain.north),
        (SOUTH, chain.south),
        (NORTH.upper(), chain.north),
    ):
        said = chain.client(host).get("/api/workshop").json
        assert said["workshop"] == workshop.store.ledger.workshop
    assert chain.north.store.ledger.workshop != chain.south.store.ledger.workshop
    for host in ("east.example", "example", "", f"{NORTH}.", "..", "a/../north.example", "[::1]"):
        for path in ("/api/workshop", "/api/log", "/api/nothing"):
            answer = chain.client(host).get(path)
            assert (answer.status_code, answer.json["code"]) == (404, "no-workshop")
            assert answer.json["hint"]
        for path in ("/", "/sw.js", "/index.html"):
            answer = chain.client(host).get(path)
            assert (answer.status_code, answer.mimetype) == (404, "text/html")
            assert "No workshop is asked at" in answer.text
        asked = chain.client(host).post("/api/session/nonce", {"device": "A" * 43})
        assert asked.status_code == 404
    assert chain.client("east.example").get("/api/health").status_code == 404
    assert "<script" not in chain.client("<script>alert(1)</script>").get("/").text


def test_a_port_behind_the_name_makes_no_difference(chain):
    assert chain.client(f"{NORTH}:8437").get("/api/workshop").status_code == 200


def test_the_process_itself_can_be_asked_whether_it_is_well(chain):
    answer = chain.client("localhost").get("/api/health")
    assert (answer.status_code, answer.json["is_well"]) == (200, True)
    assert chain.client(NORTH).get("/api/health").json["is_well"]


def filled(rule: str, ids: dict[str, str]) -> str:
    """Return the address of a route with another workshop's names in it."""
    for part in ("job:job", "sha256:sha256", "device:device", "sha256:bundle", "sha256:blob"):
        rule = rule.replace(f"<{part}>", ids[part.partition(":")[0]])
    return rule


@pytest.mark.parametrize("chain", ["sqlite", "postgresql"], indirect=True)
def test_nothing_of_one_is_answered_at_the_other_whatever_it_is_asked_for(chain):
    """Every route that is there, with the names of what lies in the north."""
    north = chain.client(NORTH, chain.northerner)
    values = [private_value("vin", "TTNORTH0000000001"), private_value("plate", "NORTH 12")]
    job = uuid7()
    north.push(chain.northerner.write("job.opened", opening(*values), job), blobs=tuple(values))
    send_photo(north)
    chain.north.store.name_person(chain.northerner.person, "Nora of the North", NOON)
    secret = private.blob_id(values[0])
    assert north.get(f"/api/blobs/{SHA}").data == PHOTO
    telling = [
        chain.north.store.ledger.workshop,
        chain.north.store.ledger.key,
        *("TTNORTH0000000001", "NORTH 12", "Nora of the North", PHOTO.decode("latin-1")),
        chain.northerner.person,
    ]
    south = chain.client(SOUTH, chain.southerner)
    asked = 0
    for sha256 in (SHA, secret):
        ids = {"job": job, "sha256": sha256, "device": chain.northerner.id}
        nobodys = {"job": uuid7(), "sha256": "ab" * 32, "device": "A" * 43}
        for rule in chain.app.url_map.iter_rules():
            path = filled(rule.rule, ids)
            if not path.startswith("/api/") or "GET" not in rule.methods or "<" in path:
                continue
            answer = south.get(path)
            asked += 1
            said = answer.data.decode("latin-1") + str(answer.headers)
            assert not [one for one in telling if one in said], path
            if path != rule.rule:  # as if there were nothing of that name anywhere
                unknown = south.get(filled(rule.rule, nobodys))
                assert (answer.status_code, answer.data) == (unknown.status_code, unknown.data)
    assert asked > 60
    assert south.tus("HEAD", f"/api/uploads/{SHA}").status_code == 404


def test_a_check_that_was_forgotten_gives_out_nothing_of_the_other(chain, monkeypatch):
    """As if no view asked whether a job, a photo or a device is there: it is not."""
    north = chain.client(NORTH, chain.northerner)
    values = [private_value("vin", "TTNORTH0000000001"), private_value("plate", "NORTH 12")]
    job = uuid7()
    north.push(chain.northerner.write("job.opened", opening(*values), job), blobs=tuple(values))
    send_photo(north)
    monkeypatch.setattr(Views, "has_job", lambda *_: True)
    monkeypatch.setattr(Views, "has_blob", lambda *_: True)
    monkeypatch.setattr(Views, "is_hidden", lambda *_: False)
    south = chain.client(SOUTH, chain.southerner)
    assert south.get(f"/api/jobs/{job}/log").json["records"] == []
    for sha256 in (SHA, private.blob_id(values[0])):
        assert PHOTO not in south.get(f"/api/blobs/{sha256}").data
        assert south.get(f"/api/blobs/{sha256}").status_code >= 400
    assert south.get(f"/api/jobs/{job}/bag").status_code >= 400


def test_a_session_of_one_is_nobody_at_the_other(chain):
    north = chain.client(NORTH, chain.northerner)
    assert "domain=" not in north.set_cookie.lower()  # RFC 6265, section 5.3: for this host alone
    assert north.set_cookie.startswith("__Host-")
    stolen = chain.client(SOUTH)
    stolen.headers["Cookie"] = north.headers["Cookie"]
    for path in ("/api/log", f"/api/blobs/{SHA}", "/api/desk", "/api/devices"):
        answer = stolen.get(path)
        assert answer.status_code in (401, 404), path
    assert stolen.get("/api/log").json["code"] == "not-signed-in"
    assert stolen.delete("/api/session").status_code == 204  # and it ends no session elsewhere
    assert north.get("/api/log").status_code == 200


def test_a_nonce_an_invitation_and_an_entry_of_one_are_worth_nothing_at_the_other(chain):
    nonce = chain.client(NORTH).post("/api/session/nonce", {"device": chain.northerner.id})
    at_south = chain.client(SOUTH)
    unknown = at_south.post("/api/session/nonce", {"device": chain.northerner.id})
    assert (unknown.status_code, unknown.json["code"]) == (401, "unknown-device")
    said = {"device": chain.southerner.id, "nonce": nonce.json["nonce"], "signature": "s"}
    assert at_south.post("/api/session", said).json["code"] == "wrong-signature"
    invitation, secret, person = chain.north.invite("owner")
    line = chain.north.enrolment(
        Phone(chain.north.store.ledger.workshop, person, "owner"), invitation, secret
    ).line
    refused = at_south.post("/api/enrol", {"line": line})
    assert (refused.status_code, refused.json["code"]) == (400, "foreign-workshop")
    south = chain.client(SOUTH, chain.southerner)
    entry = chain.northerner.write("job.taken", {}, uuid7())
    assert [one["code"] for one in south.push(entry).json["refused"]] == ["foreign-workshop"]


def test_one_photo_sent_to_both_lies_in_both_and_is_erased_in_one(chain):
    for host, phone in ((NORTH, chain.northerner), (SOUTH, chain.southerner)):
        send_photo(chain.client(host, phone))
    erased = {"blob": SHA, "reason": "asked for", "basis": "GDPR 17(1)"}
    chain.north.store.ledger.state("blob.erased", erased, NOON)
    assert not chain.north.store.blobs.has(SHA)
    assert chain.client(SOUTH, chain.southerner).get(f"/api/blobs/{SHA}").data == PHOTO


def test_who_spends_all_at_one_has_all_at_the_other(chain, monkeypatch):
    few = Allowance("too-many-requests", 2, 1, "this device asks too often")
    monkeypatch.setattr("twoturns.web.access.REQUESTS", few)
    person = chain.northerner.person
    same = chain.south.enrol("owner", person=person)  # a person with a device at each
    north, south = chain.client(NORTH, chain.northerner), chain.client(SOUTH, same)
    assert [north.get("/api/log").status_code for _ in range(3)] == [200, 200, 429]
    assert south.get("/api/log").status_code == 200


def test_one_address_that_guesses_at_one_is_not_kept_from_the_other(chain):
    said = {"device": "A" * 43}
    north, south = chain.client(NORTH), chain.client(SOUTH)
    statuses = [north.post("/api/session/nonce", said).status_code for _ in range(121)]
    assert statuses[-1] == 429
    assert south.post("/api/session/nonce", said).status_code == 401


def test_bodies_for_one_leave_threads_for_the_other():
    bodies = Bodies(BODIES_OF_A_WORKSHOP)
    with ExitStack() as stack:
        for n in range(BODIES_OF_A_WORKSHOP):
            stack.enter_context(bodies.hold(1, f"phone {n // 4}", is_stranger=False))
        with pytest.raises(Refused) as refused:
            stack.enter_context(bodies.hold(1, "other", is_stranger=False))
        assert refused.value.code == "busy"
        stack.enter_context(bodies.hold(2, "other", is_stranger=False))


def test_one_that_cannot_be_opened_is_refused_by_itself(chain):
    """And is tried again after a while, not at each request."""
    key = chain.folder / "workshops" / SOUTH / "workshop.key"
    aside = key.rename(chain.folder / "key")
    for _ in range(2):
        answer = chain.client(SOUTH).get("/api/workshop")
        assert (answer.status_code, answer.json["code"]) == (503, "wrong-key")
        assert str(chain.folder) not in answer.text  # an asker is told nothing of the disk
        assert chain.client(NORTH).get("/api/workshop").status_code == 200
    aside.rename(key)
    assert chain.client(SOUTH).get("/api/workshop").status_code == 503
    chain.north.now += timedelta(seconds=workshops.TRY_AGAIN_SECONDS)
    assert chain.client(SOUTH).get("/api/workshop").status_code == 200


@pytest.mark.parametrize(
    ("file", "said", "code"),
    [
        ("ledger.url", "postgresql://nobody@127.0.0.1:1/none?schema=south", "workshop-away"),
        ("ledger.url", "no address", "workshop-shut"),
        ("photos.url", "nowhere:", "photos-elsewhere"),
        pytest.param(
            *("ledger.db", "no database", "damaged"),
            marks=pytest.mark.embedded("it breaks SQLite's file"),
        ),
    ],
)
def test_whatever_is_wrong_with_one_it_is_said_in_its_answer_alone(
    chain, file, said, code, monkeypatch
):
    monkeypatch.setattr("twoturns.store.postgres_links.CONNECT_SECONDS", 0.5)
    (chain.folder / "workshops" / SOUTH / file).write_text(said)
    answer = chain.client(SOUTH).get("/api/workshop")
    assert answer.json["code"] == code
    assert answer.status_code >= 500
    assert answer.json["hint"]
    assert chain.client(NORTH).get("/api/workshop").status_code == 200


def test_a_new_one_is_there_at_once_and_one_that_was_taken_out_is_not(chain):
    assert chain.client("east.example").get("/api/workshop").status_code == 404
    east = Workshop(Installation(chain.folder).place("east.example"))
    said = chain.client("east.example").get("/api/workshop").json
    assert said["workshop"] == east.store.ledger.workshop
    shutil.move(chain.folder / "workshops" / "east.example", chain.folder / "east")
    assert chain.client("east.example").get("/api/workshop").status_code == 404


def test_one_that_is_put_back_in_the_place_of_another_is_the_one_that_answers(chain):
    assert chain.client(NORTH).get("/api/workshop").status_code == 200
    place = chain.folder / "workshops" / NORTH
    shutil.move(place, chain.folder / "before")
    other = Workshop(place)
    said = chain.client(NORTH).get("/api/workshop").json
    assert said["workshop"] == other.store.ledger.workshop


def test_one_may_have_a_second_name(chain):
    (chain.folder / "workshops" / "old.example").symlink_to(chain.folder / "workshops" / NORTH)
    said = chain.client("old.example").get("/api/workshop").json
    assert said["workshop"] == chain.north.store.ledger.workshop


def test_a_process_may_serve_some_of_them_alone(chain):
    app = create_app(chain.folder, host_names=[NORTH])
    assert Client(app, host=NORTH).get("/api/workshop").status_code == 200
    assert Client(app, host=SOUTH).get("/api/workshop").json["code"] == "no-workshop"
    assert app.extensions["twoturns"].names == [NORTH]


def test_nobody_who_asks_for_a_while_closes_it_and_the_next_request_opens_it(chain):
    served = chain.app.extensions["twoturns"]
    chain.client(NORTH).get("/api/workshop")
    chain.north.now += timedelta(seconds=workshops.IDLE_SECONDS + 1)
    chain.client(SOUTH).get("/api/workshop")
    served.let_go_of_the_idle()
    assert [one.name for one in served.open()] == [SOUTH]
    assert chain.client(NORTH).get("/api/workshop").status_code == 200


@pytest.mark.embedded("it counts SQLite's connections")
def test_a_thread_that_serves_many_holds_connections_to_a_few(chain):
    """The system's own list of this process's open files."""
    names = [f"shop-{number}.example" for number in range(12)]
    for name in names:
        Workshop(Installation(chain.folder).place(name)).store.let_go()
        assert chain.client(name).get("/api/workshop").status_code == 200
    held = set()
    for file in Path("/proc/self/fd").iterdir():
        with suppress(FileNotFoundError):  # another thread has closed it meanwhile
            held |= {file.readlink().parent.name} if file.readlink().name == "ledger.db" else set()
    assert len(held & set(names)) == workshops.MOST_IN_A_THREAD


@pytest.fixture
def told(tmp_path, monkeypatch):
    """Listen as `serve` does, to a file; returns what reads the events in it."""
    file = tmp_path / "security.jsonl"
    monkeypatch.setenv(events.SETTING, str(file))
    events.listen(to_stderr=True)
    yield lambda: [json.loads(line) for line in file.read_text().split("\n")[:-1]]
    logger = logging.getLogger("twoturns.security")
    for handler in logger.handlers[:]:
        logger.removeHandler(handler)
        handler.close()


def test_what_is_written_to_the_log_names_its_workshop_and_no_other(chain, told, caplog):
    chain.client(NORTH, chain.northerner)
    chain.client(SOUTH, chain.southerner)
    chain.client(SOUTH).post("/api/session/nonce", {"device": "A" * 43})
    (chain.folder / "workshops" / SOUTH / "workshop.key").unlink()
    create_app(chain.folder).test_client().get("/", headers={"Host": SOUTH})
    chain.client("east.example").get("/")
    said = told()
    assert [(one.get("workshop"), one["event"]) for one in said] == [
        (NORTH, "signed-in"),
        (SOUTH, "signed-in"),
        (SOUTH, "refused"),
        (None, "refused"),
    ]
    others = [one for one in said if one.get("workshop") != NORTH]
    assert chain.northerner.id not in json.dumps(others)
    assert any(one.startswith(f"{SOUTH}: not opened: ") for one in caplog.messages)


def test_orders_to_erase_are_carried_out_in_all_also_where_nobody_asks(chain, monkeypatch, caplog):
    for host, phone in ((NORTH, chain.northerner), (SOUTH, chain.southerner)):
        send_photo(chain.client(host, phone))
    for workshop, phone in ((chain.north, chain.northerner), (chain.south, chain.southerner)):
        body = {"blobs": [SHA], "reason": "asked for", "basis": "GDPR 17(1)"}
        workshop.push(phone.write("erasure.ordered", body))
    (chain.folder / "workshops" / "broken.example").mkdir()

    def sleep(_: float) -> None:
        raise KeyboardInterrupt

    served = create_app(chain.folder).extensions["twoturns"]
    with pytest.raises(KeyboardInterrupt):
        duties.see_to_all(served, lambda: NOON + timedelta(days=40), sleep)
    assert not chain.north.store.blobs.has(SHA)
    assert not chain.south.store.blobs.has(SHA)
