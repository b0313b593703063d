"""
One workshop, served by two processes that know nothing of each other: what is begun at one goes on
at the other, and what is ended at one is ended at the other. As one of an installation, in folders;
and by PostgreSQL and a bucket.
"""

import hashlib
import os
import time
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from by_http import Browser
from served import PATIENCE_S, beginning, wait_for
from twoturns.ledger import checkpoint
from twoturns.store.allowances import Allowances, Spent, Want
from twoturns.store.installation import Installation
from twoturns.store.succession import rotate
from twoturns.web.limits import JOBS, PORTIONS
from workshop import NOON, Workshop, uuid7

pytestmark = [pytest.mark.slow(20), pytest.mark.embedded("it says itself where its workshops lie")]


@dataclass(frozen=True)
class Place:
    """A workshop; what is served; and the host name by which it is asked."""

    workshop: Workshop
    folder: Path
    host: str


@pytest.fixture(scope="module", params=["an installation of folders", "postgresql and a bucket"])
def place(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp("two") / "two-servers"
    if request.param == "an installation of folders":
        installation = Installation(folder)
        installation.make()
        yield Place(Workshop(installation.place("two.example")), folder, "two.example")
        return
    with pytest.MonkeyPatch.context() as patch:
        # The secrets are in the environment of the servers, too.
        patch.setenv("TWOTURNS_LEDGER", request.getfixturevalue("postgres").url)
        seaweed = request.getfixturevalue("seaweed")
        patch.setenv("AWS_ACCESS_KEY_ID", seaweed.key)
        patch.setenv("AWS_SECRET_ACCESS_KEY", seaweed.secret)
        yield Place(Workshop(folder, photos=seaweed.url()), folder, "localhost")


@pytest.fixture(scope="module")
def workshop(place):
    return place.workshop


@pytest.fixture(scope="module")
def ports(place):
    with (
        beginning(place.folder, processes=1) as (one, _),
        beginning(place.folder, processes=1) as (other, _),
    ):
        for port in (one, other):
            wait_for(port)
            # A workshop is opened when it is asked for, or by what sees to all: *busy* till then.
            until = time.monotonic() + PATIENCE_S
            while Browser(place.host).ask(port, "GET", "/api/workshop").status != 200:
                assert time.monotonic() < until, "the workshop is not opened"
                time.sleep(0.1)
        yield one, other


@pytest.fixture
def new_browser(place):
    """Return what lets a new device in; it is not signed in yet."""
    return lambda role: Browser(place.host, place.workshop.enrol(role))


@pytest.fixture
def signed_in(new_browser, ports):
    """Return what lets a new device in, signed in at the first server."""

    def entered(role: str) -> Browser:
        browser = new_browser(role)
        assert browser.sign_in(ports[0], browser.nonce(ports[0])).status == 200
        return browser

    return entered


def test_each_is_asked_by_the_workshops_own_name(place, ports):
    for port in ports:
        said = Browser(place.host).ask(port, "GET", "/api/workshop")
        assert said.json["workshop"] == place.workshop.store.ledger.workshop
        nobody = Browser("nobody.example").ask(port, "GET", "/api/workshop")
        assert (nobody.status, nobody.json["code"]) in {
            (404, "no-workshop"),
            (400, "untrusted-host"),
        }


def test_a_nonce_of_one_serves_at_the_other_and_once(new_browser, ports):
    one, other = ports
    browser = new_browser("mechanic")
    nonce = browser.nonce(one)
    assert browser.sign_in(other, nonce).status == 200
    for port in (one, other):
        again = browser.sign_in(port, nonce)
        assert (again.status, again.json["code"]) == (401, "wrong-signature")
        assert browser.ask(port, "GET", "/api/log").status == 200


def test_a_session_that_is_ended_at_one_is_ended_at_the_other(ports, signed_in):
    one, other = ports
    browser = signed_in("mechanic")
    assert browser.ask(other, "GET", "/api/log").status == 200
    assert browser.ask(one, "DELETE", "/api/session").status == 204
    refused = browser.ask(other, "GET", "/api/log")
    assert (refused.status, refused.json["code"]) == (401, "not-signed-in")


def test_a_device_that_is_revoked_at_one_is_out_at_the_other(ports, signed_in):
    one, other = ports
    lost, owner = signed_in("mechanic"), signed_in("owner")
    assert lost.ask(other, "GET", "/api/log").status == 200
    body = {"device": lost.phone.id, "because": "left on a roof"}
    assert owner.push(one, owner.phone.write("device.revoked", body)).json["refused"] == []
    for port in (other, one):
        refused = lost.ask(port, "GET", "/api/log")
        assert (refused.status, refused.json["code"]) == (401, "device-revoked")
    # What it still sends is held back, at whichever it sends it.
    said = lost.phone.write("job.taken", {}, uuid7())
    assert list(lost.push(other, said).json["held"]) == [said.id]


def test_an_upload_that_is_begun_at_one_is_ended_at_the_other(ports, signed_in):
    one, other = ports
    browser, photo = signed_in("mechanic"), os.urandom(100_000)
    sha256 = hashlib.sha256(photo).hexdigest()
    path, half = f"/api/uploads/{sha256}", len(photo) // 2
    assert browser.begin_upload(one, sha256, len(photo)).status == 201
    assert browser.send_piece(one, sha256, 0, photo[:half]).status == 204
    assert browser.tus(other, "HEAD", path).headers["Upload-Offset"] == str(half)
    ended = browser.send_piece(other, sha256, half, photo[half:])
    assert (ended.status, ended.headers["Upload-Offset"]) == (204, str(len(photo)))
    assert browser.tus(one, "HEAD", path).headers["Upload-Offset"] == str(len(photo))
    owner = signed_in("owner")
    assert owner.ask(one, "GET", f"/api/blobs/{sha256}").data == photo


def test_a_photo_that_is_erased_by_one_is_gone_at_all_that_had_just_read_it(
    workshop, ports, signed_in
):
    """By a command, a third process."""
    owner = signed_in("owner")
    sha256 = workshop.store.blobs.put(b"\xff\xd8\xff a face in it")
    workshop.store.ledger.keep([sha256], NOON)
    for port in ports:
        assert owner.ask(port, "GET", f"/api/blobs/{sha256}").status == 200
    body = {"blob": sha256, "reason": "asked for", "basis": "GDPR 17(1)"}
    workshop.store.ledger.state("blob.erased", body, NOON)
    for port in ports:
        assert owner.ask(port, "GET", f"/api/blobs/{sha256}").status == 404


def test_what_is_written_at_one_stands_in_the_receipt_of_the_other(ports, signed_in):
    """Each knows rosters, numbers and places by heart, and what the other wrote meanwhile."""
    browser, job = signed_in("mechanic"), uuid7()
    indices = []
    for number in range(6):
        said = browser.phone.write("job.taken", {}, job)
        answer = browser.push(ports[number % 2], said).json
        assert answer["refused"] == []
        indices.append(answer["indices"][said.id])
        assert browser.push(ports[1 - number % 2], said).json["indices"][said.id] == indices[-1]
    assert indices == sorted(set(indices))


def test_what_a_device_may_have_is_counted_over_both(workshop, ports, signed_in):
    """A third process, this one, draws all that the two have not drawn."""
    browser = signed_in("mechanic")
    for port in ports:
        said = browser.phone.write("job.taken", {}, uuid7())
        assert browser.push(port, said).json["refused"] == []
    portion = JOBS.most / PORTIONS
    here, now = Allowances(workshop.store.database), datetime.now(UTC)
    want = Want(JOBS.kept_as, JOBS.most, JOBS.a_second, portion, portion)
    drawn = 0
    while drawn < JOBS.most and _is_drawn(here, browser.phone.id, want, now):
        drawn += portion
    assert drawn == JOBS.most - 2 * portion  # each of the two has one, and no more
    refused = []
    while not refused:
        some = [browser.phone.write("job.taken", {}, uuid7()) for _ in range(int(portion) - 1)]
        answers = [browser.push(port, *some) for port in ports]
        refused = [answer for answer in answers if answer.status != 200]
    for answer in refused:
        assert (answer.status, answer.json["code"]) == (429, "too-many-jobs")
        assert int(answer.headers["Retry-After"]) > 0


def _is_drawn(allowances: Allowances, device: str, want: Want, now: datetime) -> bool:
    try:
        allowances.draw(device, [want], now)
    except Spent:
        return False
    return True


def test_a_key_that_is_handed_over_by_one_signs_at_both(workshop, ports, signed_in):
    """By the command, a third process, while both go on."""
    browser = signed_in("mechanic")
    for port in ports:
        assert browser.push(port, browser.phone.write("job.taken", {}, uuid7())).status == 200
    new = rotate(workshop.store, datetime.now(UTC) + timedelta(seconds=1))
    for port in ports:
        assert browser.ask(port, "GET", "/api/workshop").json["key"] == new
        said = browser.push(port, browser.phone.write("job.taken", {}, uuid7())).json
        opened = checkpoint.open(said["checkpoint"], new, browser.phone.workshop)
        assert opened.size == workshop.store.ledger.size()
        assert browser.ask(port, "GET", "/api/log").status == 200
