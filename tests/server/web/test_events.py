"""Security events: what those who watch the workshop's computer read, and what they never do."""

import json
import logging

import pytest
from click.testing import CliRunner

from twoturns.cli import main
from twoturns.ledger.bodies import WORKSHOP_KINDS
from twoturns.store import events
from twoturns.store.statement_events import STATEMENTS
from workshop import Client, uuid7


@pytest.fixture
def told(tmp_path, monkeypatch):
    """Listen as `serve` does, to a file; returns what reads the events in it."""
    monkeypatch.setenv(events.SETTING, str(tmp_path / "security.log"))
    events.listen(to_stderr=True)
    file = tmp_path / "security.log"
    yield lambda: [json.loads(line) for line in file.read_text().split("\n")[:-1]]
    logger = logging.getLogger("twoturns.security")
    for handler in logger.handlers[:]:
        logger.removeHandler(handler)
        handler.close()
    logger.setLevel(logging.NOTSET)


def names(said) -> list[str]:
    return [one["event"] for one in said]


def test_sign_ins_refusals_and_revocations_are_told_by_device_and_address(
    workshop, open_client, told
):
    phone, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    client = open_client(phone)
    stranger = {"device": "A" * 43, "nonce": "n" * 20, "signature": "s" * 86}
    assert open_client().post("/api/session", stranger).status_code == 401
    workshop.push(owner.write("device.revoked", {"device": phone.id, "because": "Ada lost it"}))
    assert client.get("/api/log").status_code == 401
    said = told()
    assert names(said) == [
        *("device.invited", "device.enrolled") * 2,
        *("signed-in", "refused", "device.revoked", "refused"),
    ]
    signed_in, refused, revoked, again = said[4:]
    assert signed_in["device"] == phone.id
    assert (signed_in["role"], signed_in["address"]) == ("mechanic", "127.0.0.1")
    assert (refused["code"], refused["path"]) == ("unknown-device", "/api/session")
    assert (revoked["device"], revoked["by"], revoked["standing"]) == (phone.id, owner.id, "good")
    assert again["code"] == "device-revoked"
    assert all(one["at"].endswith("Z") for one in said)


def test_erasures_keys_and_refused_lines_are_told(workshop, open_client, told):
    phone, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    client = open_client(phone)
    other = workshop.enrol("mechanic").write("job.taken", {}, uuid7()).line
    line = phone.write("job.taken", {}, uuid7()).line
    forged = f"{other.partition(' ')[0]} {line.partition(' ')[2]}"
    body = {"sent_at": "2026-11-24T12:00:00.000Z", "lines": [forged], "blobs": []}
    assert client.post("/api/entries", body).json["refused"]
    order = {"blobs": ["ab" * 32], "reason": "asked by Ada", "basis": "law"}
    workshop.push(owner.write("erasure.ordered", order))
    *_, refused, ordered = told()
    assert (refused["event"], refused["codes"]) == ("lines-refused", {"wrong-signature": 1})
    assert (ordered["event"], ordered["blobs"]) == ("erasure.ordered", ["ab" * 32])


def test_every_statement_about_keys_devices_and_erasing_is_told():
    watched = ("workshop.", "recovery.", "device.", "work.", "erasure.", "blob.erased")
    assert {kind for kind in WORKSHOP_KINDS if kind.startswith(watched)} <= STATEMENTS.keys()


def test_no_secret_and_no_word_that_somebody_wrote_is_in_them(workshop, told, open_client):
    phone, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    client = open_client(phone)
    workshop.push(owner.write("device.revoked", {"device": phone.id, "because": "Ada lost it"}))
    open_client().get("/api/blobs/" + "ab" * 32 + "?x=\n\x1b[2J")
    text = json.dumps(told())
    secrets = [client.headers["Cookie"].partition("=")[2], "Ada lost it", phone.key.key]
    assert [one for one in secrets if one in text] == []
    for one in told():
        assert not one.keys() & {"nonce", "signature", "because", "reason", "key"}


def test_what_an_asker_sends_makes_no_second_line(workshop, open_client, told):
    client = Client(open_client().app)
    path = "/api/enrol\n{%22event%22:%22signed-in%22}"
    client.post(path.replace("\n", "%0A"), {}, **{"Sec-Fetch-Site": "cross-site"})
    (said,) = told()
    assert (said["event"], said["code"]) == ("refused", "cross-site")
    assert "\n" in said["path"]


def test_a_command_tells_where_the_file_is_named_and_says_nothing_of_it_else(
    workshop, told, monkeypatch
):
    phone = workshop.enrol("mechanic")
    words = ["revoke", phone.id, "--because", "lost", "--data", str(workshop.folder)]
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 0
    assert "{" not in result.output
    assert (told()[-1]["event"], told()[-1]["device"]) == ("device.revoked", phone.id)
