"""The page of a demo with three doors: who is shown it, whom it invites, and where they come in."""

import html
import re
from urllib.parse import urlsplit

import pytest

from invitations import invitation_in
from twoturns.store import Store
from twoturns.web import create_app, doors
from twoturns.web.doors import Doors
from workshop import NOON, uuid7

PORT = 8438
HERE = f"127.0.0.1:{PORT}"
PAGE = "/doors/open-sesame"
ORIGIN = f"http://{HERE}"


@pytest.fixture
def people():
    return {
        role: (uuid7(), name)
        for role, name in (("mechanic", "Ada Weir"), ("owner", "Bela <Weir>"), ("auditor", "C."))
    }


@pytest.fixture
def client(workshop, people):
    said = Doors("open-sesame", PORT, people)
    names = ["localhost", *said.host_names]
    app = create_app(workshop.folder, clock=lambda: NOON, host_names=names)
    doors.set_on(app, said)
    return app.test_client()


def opened(client, role, host, **headers):
    """Press a door's key, as the page does."""
    return client.post(f"{PAGE}/{role}/{host}", headers={"Host": HERE, "Origin": ORIGIN, **headers})


def test_the_page_has_the_fingerprint_and_a_key_for_each_person(client, workshop, people):
    answer = client.get(PAGE, headers={"Host": HERE})
    said = answer.get_data(as_text=True)
    assert answer.status_code == 200
    assert workshop.store.ledger.workshop[:4] in said
    assert all(html.escape(name) in said for _, name in people.values())
    actions = re.findall(r'action="([^"]+)"', said)
    assert sorted(actions) == sorted(
        f"{PAGE}/{role}/{host}" for role in people for host in (f"{role}.localhost", "localhost")
    )


def test_the_page_runs_no_script_and_is_kept_nowhere(client):
    headers = client.get(PAGE, headers={"Host": HERE}).headers
    policy = dict(part.split(" ", 1) for part in headers["Content-Security-Policy"].split("; "))
    assert policy["default-src"] == "'none'"
    assert "script-src" not in policy
    assert set(policy["form-action"].split()) == {"'self'"} | {
        f"http://{host}:{PORT}"
        for host in (
            "localhost", "mechanic.localhost", "owner.localhost", "auditor.localhost",
        )
    }  # fmt: skip
    assert headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize(
    ("path", "host"),
    [
        ("/doors/open-barley", HERE),
        (PAGE, f"localhost:{PORT}"),
        (PAGE, f"owner.localhost:{PORT}"),
        (PAGE, "127.0.0.1:80"),
    ],
)
def test_whoever_does_not_know_the_token_or_asks_elsewhere_is_shown_nothing(client, path, host):
    answer = client.get(path, headers={"Host": host})
    assert (answer.status_code, answer.json["code"]) == (404, "not-found")


@pytest.mark.parametrize("role", ["mechanic", "owner", "auditor"])
@pytest.mark.parametrize("is_own", [True, False])
def test_a_door_invites_its_person_once_more_at_its_address(client, workshop, people, role, is_own):
    host = f"{role}.localhost" if is_own else "localhost"
    answers = [opened(client, role, host) for _ in range(2)]
    assert [one.status_code for one in answers] == [303, 303]
    led = [urlsplit(one.headers["Location"]) for one in answers]
    assert {(one.scheme, one.netloc, one.path) for one in led} == {("http", f"{host}:{PORT}", "/")}
    invited = [invitation_in(one.fragment.removeprefix("invite=")) for one in led]
    assert {(one.role, one.person) for one in invited} == {(role, people[role][0])}
    assert {one.workshop for one in invited} == {workshop.store.ledger.workshop}
    assert len({one.invitation for one in invited}) == 2


@pytest.mark.parametrize(
    "origin", [None, "null", "http://evil.example", f"http://localhost:{PORT}"]
)
def test_a_door_is_opened_from_its_page_alone(client, workshop, origin):
    before = Store(workshop.folder).ledger.size()
    headers = {"Host": HERE} | ({"Origin": origin} if origin else {})
    answer = client.post(f"{PAGE}/owner/owner.localhost", headers=headers)
    assert (answer.status_code, answer.json["code"]) == (403, "cross-site")
    assert Store(workshop.folder).ledger.size() == before


@pytest.mark.parametrize(
    ("role", "host"),
    [("owner", "mechanic.localhost"), ("owner", "evil.example"), ("console", "console.localhost")],
)
def test_no_door_leads_anywhere_else(client, role, host):
    assert opened(client, role, host).json["code"] == "not-found"


@pytest.mark.parametrize(
    "host", ["other.localhost", "mechanic.localhost.evil.example", "evil.example"]
)
def test_the_server_answers_to_no_other_name(client, host):
    answer = client.get("/api/workshop", headers={"Host": f"{host}:{PORT}"})
    assert (answer.status_code, answer.json["code"]) == (400, "untrusted-host")


def test_a_workshop_that_is_no_demo_has_no_doors_and_no_such_names(workshop):
    app = create_app(workshop.folder, host_names=["localhost", "127.0.0.1"])
    client = app.test_client()
    assert client.get(PAGE, headers={"Host": HERE}).status_code == 404
    answer = client.get("/api/workshop", headers={"Host": "mechanic.localhost"})
    assert answer.json["code"] == "untrusted-host"
