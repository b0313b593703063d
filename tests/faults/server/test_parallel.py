"""
The same thing twenty times at once; and what must come to one of many.

Threads against one app, each with its own client: what two processes of the server do to each
other goes through the same file locks and the same transactions.
"""

import base64
import fcntl
import hashlib
import random
import threading
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import pytest

from twoturns.ledger import keys
from twoturns.store.upload_folder import UploadFolder
from twoturns.store.uploads import HALVES_A_DEVICE
from workshop import Client, Phone, clients, uuid7

TIMES = 20
PHOTO = b"\xff\xd8 a photo of the notch" * 4000
SHA = hashlib.sha256(PHOTO).hexdigest()


@pytest.fixture
def open_client(workshop):
    return clients(workshop)


def at_once(acts: list[Callable[[], object]]) -> list:
    """Let all acts begin at one moment, and return what each came to."""
    gate = threading.Barrier(len(acts))

    def act(one):
        gate.wait()
        return one()

    with ThreadPoolExecutor(len(acts)) as pool:
        return list(pool.map(act, acts))


def begin(client: Client, data: bytes = PHOTO, sha256: str = SHA):
    said = f"sha256 {base64.b64encode(sha256.encode()).decode()}"
    return client.tus("POST", "/api/uploads", Upload_Length=str(len(data)), Upload_Metadata=said)


def send(client: Client, data: bytes = PHOTO, sha256: str = SHA):
    kind = {"Content_Type": "application/offset+octet-stream", "Upload_Offset": "0"}
    return client.tus("PATCH", f"/api/uploads/{sha256}", data, **kind)


def upload(client: Client, data: bytes) -> int:
    begun = begin(client, data)
    if begun.headers.get("Upload-Offset") == str(len(data)):
        return begun.status_code
    return send(client, data).status_code


def kept_records(workshop) -> Counter:
    rows = workshop.store.pages.page(0, limit=500).records
    return Counter(SHA for _, text in rows if '"kind":"blob.kept"' in text and SHA in text)


def test_one_photo_from_twenty_phones_is_one_file_and_one_record(workshop, open_client):
    phones = [open_client(workshop.enrol("mechanic")) for _ in range(TIMES)]
    statuses = at_once([lambda one=one: upload(one, PHOTO) for one in phones])
    # Where another was quicker the half may be gone under a phone (404), or the whole be kept since
    # it began (409, its offset is no longer the end): it asks, and finds all there.
    assert set(statuses) <= {204, 201, 404, 409, 503}
    for one in phones:
        assert begin(one).headers["Upload-Offset"] == str(len(PHOTO))
    assert workshop.store.blobs.is_whole(SHA)
    assert kept_records(workshop) == {SHA: 1}
    assert list(workshop.store.blobs.all()) == [SHA]


def test_one_phone_that_sends_a_photo_twenty_times_at_once(workshop, open_client):
    phone = workshop.enrol("mechanic")
    all_its_tabs = [open_client(phone) for _ in range(TIMES)]
    begin(all_its_tabs[0])
    statuses = at_once([lambda one=one: send(one).status_code for one in all_its_tabs])
    assert set(statuses) <= {204, 404, 409, 423, 503}
    assert begin(all_its_tabs[0]).headers["Upload-Offset"] in ("0", str(len(PHOTO)))
    upload(all_its_tabs[0], PHOTO)
    assert workshop.store.blobs.is_whole(SHA)
    assert kept_records(workshop) == {SHA: 1}


@pytest.mark.parametrize("act", ["begin", "state", "send"])
def test_a_half_that_another_request_takes_away_meanwhile(workshop, open_client, monkeypatch, act):
    client = open_client(workshop.enrol("mechanic"))
    begin(client)
    find = UploadFolder._find

    def taken_away_when_found(self, device, sha256):
        path = find(self, device, sha256)
        if path is not None:
            path.unlink()
        return path

    with monkeypatch.context() as here:
        here.setattr(UploadFolder, "_find", taken_away_when_found)
        if act == "begin":
            assert begin(client).headers["Upload-Offset"] == "0"
        elif act == "state":
            assert client.tus("HEAD", f"/api/uploads/{SHA}").status_code == 404
        else:
            assert send(client).json["code"] == "no-upload"
    assert upload(client, PHOTO) == 204
    assert workshop.store.blobs.is_whole(SHA)


def test_a_half_under_way_is_not_dropped_for_newer_ones(workshop, open_client):
    """Dropped and begun anew while it is checked, the new half would go under the final name."""
    phone = workshop.enrol("mechanic")
    client = open_client(phone)
    begin(client)
    half = workshop.store.uploads.folder / phone.id / f"{SHA}.{len(PHOTO)}"
    with half.open("rb") as under_way:
        fcntl.flock(under_way, fcntl.LOCK_EX)
        for n in range(HALVES_A_DEVICE + 2):
            begin(client, sha256=hashlib.sha256(b"%d" % n).hexdigest())
        assert half.exists()
        assert begin(client, PHOTO + b"longer").json["code"] == "upload-busy"
        assert half.exists()
    begin(client, sha256=hashlib.sha256(b"one more").hexdigest())
    assert not half.exists()


def test_other_bytes_under_the_name_of_a_photo_never_take_its_place(workshop, open_client):
    phones = [open_client(workshop.enrol("mechanic")) for _ in range(TIMES)]
    forged = PHOTO[:-1] + b"!"
    acts = [
        lambda one=one, n=n: upload(one, PHOTO if n % 2 else forged) for n, one in enumerate(phones)
    ]
    at_once(acts)
    upload(phones[0], PHOTO)
    assert workshop.store.blobs.read(SHA) == PHOTO
    assert begin(phones[2]).headers["Upload-Offset"] == str(len(PHOTO))
    assert kept_records(workshop) == {SHA: 1}


def test_one_batch_twenty_times_at_once_has_one_place_an_entry(workshop, open_client):
    phone, job = workshop.enrol("mechanic"), uuid7()
    said = [phone.write("job.taken", {}, job) for _ in range(5)]
    lines = [open_client(phone) for _ in range(TIMES)]
    answers = at_once([lambda one=one: one.push(*said) for one in lines])
    taken = [answer.json["indices"] for answer in answers if answer.status_code == 200]
    assert len(taken) >= 4  # a device has four bodies under way; the others are told to wait
    assert all(one == taken[0] for one in taken)
    assert {answer.status_code for answer in answers} <= {200, 503}
    assert sorted(taken[0].values()) == list(range(3, 8))
    assert workshop.store.ledger.size() == 8


def test_two_entries_of_one_number_at_once_are_both_kept_and_an_alarm(workshop, open_client):
    phone, job = workshop.enrol("mechanic"), uuid7()
    rivals = []
    for step in ("set_tension", "locks_out", "belt_on", "belt_off"):
        phone.seq = 1
        rivals.append(phone.write("step.begun", {"step": step}, job))
    tabs = [open_client(phone) for _ in rivals]
    at_once(
        [lambda one=one, said=said: one.push(said) for one, said in zip(tabs, rivals, strict=True)]
    )
    for said in rivals:
        tabs[0].push(said)
    rows = workshop.store.database.rows("select id, standing from entries where job = ?", [job])
    assert {row["id"]: row["standing"] for row in rows} == {one.id: "forked" for one in rivals}


def test_many_phones_of_one_invitation_one_comes_in(workshop, open_client):
    invitation, secret, person = workshop.invite("owner")
    phones = [Phone(workshop.store.ledger.workshop, person, "owner") for _ in range(8)]
    lines = [workshop.enrolment(one, invitation, secret).line for one in phones]
    strangers = [open_client() for _ in phones]
    answers = at_once(
        [
            lambda one=one, line=line: one.post("/api/enrol", {"line": line})
            for one, line in zip(strangers, lines, strict=True)
        ]
    )
    statuses = Counter(answer.status_code for answer in answers)
    assert statuses[200] == 1
    assert set(statuses) <= {200, 403, 503}
    enrolled = [one for one in phones if workshop.store.views.device(one.id)]
    assert len(enrolled) == 1
    winner = phones.index(enrolled[0])
    # Sent again it is the same; under anyone else's name it stays used, now and after a rebuild.
    assert strangers[0].post("/api/enrol", {"line": lines[winner]}).status_code == 200
    workshop.store.rebuild()
    for n, line in enumerate(lines):
        expected = 200 if n == winner else 403
        assert strangers[0].post("/api/enrol", {"line": line}).status_code == expected


def test_a_signed_nonce_opens_one_session_however_often_it_is_sent(workshop, open_client):
    phone = workshop.enrol("mechanic")
    nonce = open_client().post("/api/session/nonce", {"device": phone.id}).json["nonce"]
    message = keys.session_message(device=phone.id, nonce=nonce, workshop=phone.workshop)
    said = {"device": phone.id, "nonce": nonce, "signature": phone.sign(message)}
    strangers = [open_client() for _ in range(8)]
    answers = at_once([lambda one=one: one.post("/api/session", said) for one in strangers])
    assert [answer.status_code for answer in answers].count(200) <= 1
    late = strangers[0].post("/api/session", said)
    assert [*answers, late].count(late) == 1
    rows = workshop.store.database.rows("select device from sessions")
    assert rows in ([], [{"device": phone.id}])
    assert sum(a.status_code == 200 for a in [*answers, late]) == 1


@pytest.mark.parametrize("seed", range(12))
def test_batches_doubled_shuffled_and_late_come_to_the_same_log(workshop, open_client, seed):
    """A dead line: the phone sends again, and what it sent before arrives after what came later."""
    chance = random.Random(seed)
    phone, job = workshop.enrol("mechanic"), uuid7()
    said = [phone.write("job.taken", {}, job) for _ in range(30)]
    batches = []
    while len(batches) < 25:
        start = chance.randrange(len(said))
        batches.append(said[start : start + chance.randrange(1, 8)])
    batches += [said[n : n + 5] for n in range(0, 30, 5)]
    chance.shuffle(batches)
    client, places = open_client(phone), {}
    for batch in batches:
        for entry_id, index in client.push(*batch).json["indices"].items():
            assert places.setdefault(entry_id, index) == index
    rows = workshop.store.database.rows("select id, standing from entries where job = ?", [job])
    assert {row["id"]: row["standing"] for row in rows} == {one.id: "good" for one in said}
    assert sorted(places.values()) == list(range(3, 33))
    assert workshop.store.rebuild() == []
