"""A file that was changed on the workshop's disk never leaves, is told by name, can be healed."""

import base64
import hashlib
import io
import os
import zipfile
from dataclasses import replace

import pytest

from photos import photo
from twoturns.bag.evidence import BlobDiffers
from twoturns.bag.write import write_bag
from twoturns.store.blobs import file_sha256
from twoturns.store.gather import gather
from workshop import NOON, opening, private_value, publish_tiny, tiny_bundle, uuid7

PHOTO = photo()
SHA = hashlib.sha256(PHOTO).hexdigest()
OTHER = photo(401)


def taken(phone, job, data=PHOTO, media_type="image/jpeg"):
    body = {"step": "belt_off", "name": "seen", "blob": hashlib.sha256(data).hexdigest()}
    body |= {"size": len(data), "type": media_type, "width": 400, "height": 300, "how": "live"}
    return phone.write("photo.taken", body, job)


@pytest.fixture
def phone(workshop):
    return workshop.enrol("mechanic")


@pytest.fixture
def job(workshop, phone):
    """A job of a published procedure with one photo."""
    bundle = publish_tiny(workshop.store)
    job, values = uuid7(), (private_value("vin", "TT1"), private_value("plate", "W1"))
    said = phone.write("job.opened", opening(*values, bundle=bundle.sha256), job)
    workshop.push(said, taken(phone, job), blobs=values)
    workshop.store.ledger.keep([workshop.store.blobs.put(PHOTO)], NOON)
    return job


@pytest.fixture
def path(workshop, job):
    return workshop.store.blobs.path(SHA)


@pytest.fixture
def owner(workshop, open_client):
    return open_client(workshop.enrol("owner"))


def upload(client, data=PHOTO):
    sha256 = hashlib.sha256(data).hexdigest()
    named = base64.b64encode(sha256.encode()).decode()
    begun = client.tus(
        "POST", "/api/uploads", Upload_Length=str(len(data)), Upload_Metadata=f"sha256 {named}"
    )
    offset = int(begun.headers["Upload-Offset"])
    if offset < len(data):
        sent = client.tus(
            "PATCH",
            f"/api/uploads/{sha256}",
            data[offset:],
            Upload_Offset=str(offset),
            Content_Type="application/offset+octet-stream",
        )
        assert sent.status_code == 204, sent.json
    return offset


WAYS = {
    "whole": ("", {}),
    "a part": ("", {"Range": "bytes=0-9"}),
    "a part behind the damage": ("", {"Range": "bytes=-9"}),
    "small": ("?width=60", {}),
}


@pytest.mark.parametrize("way", WAYS)
def test_a_swapped_photo_does_not_leave(owner, path, way):
    query, headers = WAYS[way]
    assert owner.get(f"/api/blobs/{SHA}{query}", **headers).status_code in (200, 206)
    path.write_bytes(OTHER)
    answer = owner.get(f"/api/blobs/{SHA}{query}", **headers)
    assert (answer.status_code, answer.json["code"]) == (409, "blob-damaged")
    assert "was altered" in answer.json["message"]


def test_one_changed_bit_under_the_old_times_is_found(owner, path):
    """The times and the size can be put back, the time of the change cannot (stat(2), st_ctime)."""
    before = path.stat()
    assert owner.get(f"/api/blobs/{SHA}").status_code == 200
    data = bytearray(PHOTO)
    data[-100] ^= 1
    path.write_bytes(data)
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert owner.get(f"/api/blobs/{SHA}").status_code == 409


def test_a_file_that_goes_bad_under_an_unchanged_name_is_read_again_after_a_while(
    workshop, job, monkeypatch
):
    """A failing disk changes no times: what was found is remembered for minutes, not for ever."""
    blobs, read = workshop.store.blobs, []
    real = file_sha256
    monkeypatch.setattr(
        "twoturns.store.blob_folder.file_sha256", lambda f: read.append(1) or real(f)
    )
    clock = iter([0.0, 599.0, 600.0, 600.0])
    monkeypatch.setattr("time.monotonic", lambda: next(clock))
    assert [blobs.check(SHA) for _ in range(3)] == ["whole"] * 3
    assert len(read) == 2


def test_a_damaged_procedure_does_not_leave(workshop, job, open_client):
    sha256 = tiny_bundle().sha256
    path = workshop.store.blobs.path(sha256)
    path.write_bytes(path.read_bytes().replace(b"belt", b"bolt", 1))
    client = open_client(workshop.enrol("mechanic"))
    for headers in ({}, {"Range": "bytes=0-9"}):
        answer = client.get(f"/api/bundles/{sha256}", **headers)
        assert (answer.status_code, answer.json["code"]) == (409, "blob-damaged")


@pytest.mark.parametrize("query", ["", "?originals=1"])
@pytest.mark.parametrize("harm", ["altered", "missing"])
def test_no_bag_is_made_of_it(owner, job, path, query, harm):
    if harm == "altered":
        path.write_bytes(OTHER)
    else:
        path.unlink()
    answer = owner.get(f"/api/jobs/{job}/bag{query}")
    assert (answer.status_code, answer.json["code"]) == (409, "blob-damaged")
    said = answer.json["message"]
    assert said.startswith(f"the photo 'seen' of step belt_off, job {job} ({SHA})")
    assert harm in said


def test_a_procedure_that_was_altered_makes_no_bag(workshop, owner, job):
    path = workshop.store.blobs.path(tiny_bundle().sha256)
    path.write_bytes(path.read_bytes().replace(b"belt", b"bolt", 1))
    answer = owner.get(f"/api/jobs/{job}/bag")
    assert (answer.status_code, answer.json["code"]) == (409, "blob-damaged")
    assert "the procedure" in answer.json["message"]


def test_what_changes_while_a_bag_is_written_leaves_no_zip(workshop, job):
    evidence = gather(workshop.store, job, groups=[], originals=True, made_on="2026-11-24")
    files = {
        name: (lambda: io.BytesIO(OTHER)) if SHA in name else opened
        for name, opened in evidence.files.items()
    }
    out = io.BytesIO()
    with pytest.raises(BlobDiffers):
        write_bag(replace(evidence, files=files), out)
    assert out.getvalue()
    # PKWARE APPNOTE 6.3.10, 4.3.12 and 4.3.16: neither the directory nor its end is there.
    assert b"PK\x01\x02" not in out.getvalue()
    assert b"PK\x05\x06" not in out.getvalue()
    with pytest.raises(zipfile.BadZipFile):
        zipfile.ZipFile(out)


@pytest.mark.parametrize("harm", ["altered", "missing"])
def test_a_phone_that_still_has_it_sends_it_again(
    workshop, phone, open_client, owner, job, path, harm
):
    client = open_client(phone)
    assert upload(client) == len(PHOTO)  # nothing is wanted of what is whole
    if harm == "altered":
        path.write_bytes(OTHER)
    else:
        path.unlink()
    size = workshop.store.ledger.size()
    head = client.tus("HEAD", f"/api/uploads/{SHA}")
    assert head.status_code == 404
    assert upload(client) == 0
    assert owner.get(f"/api/blobs/{SHA}").data == PHOTO
    assert client.get(f"/api/blobs/{SHA}/receipt").status_code == 200
    assert workshop.store.ledger.size() == size  # it was kept all along: nothing is stated anew
    assert workshop.store.checks.bad() == []
    aside = workshop.store.blobs.set_aside(SHA)
    assert [one.read_bytes() for one in aside] == ([OTHER] if harm == "altered" else [])


def test_what_was_set_aside_goes_with_an_erasure(workshop, phone, open_client, job, path):
    path.write_bytes(OTHER)
    upload(open_client(phone))
    assert workshop.store.blobs.set_aside(SHA)
    workshop.store.blobs.erase(SHA)
    assert workshop.store.blobs.set_aside(SHA) == []


def test_a_crash_between_setting_aside_and_replacing_leaves_both(
    workshop, phone, open_client, job, path, monkeypatch
):
    path.write_bytes(OTHER)
    client = open_client(phone)

    def killed(*_):
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr("twoturns.store.files.move_into_place", killed)
        with pytest.raises(KeyboardInterrupt):
            upload(client)
    assert path.read_bytes() == OTHER
    upload(client)
    assert path.read_bytes() == PHOTO
    assert [one.read_bytes() for one in workshop.store.blobs.set_aside(SHA)] == [OTHER]


def test_a_private_value_that_was_altered_is_put_right_by_the_next_push(workshop, phone):
    vin = private_value("vin", "TT0000000000000AB")
    job = uuid7()
    plate = private_value("plate", "WEIR 7")
    said = phone.write("job.opened", opening(vin, plate), job)
    workshop.push(said, blobs=(vin, plate))
    path = workshop.store.blobs.path(hashlib.sha256(vin).hexdigest())
    path.write_bytes(vin.replace(b"TT", b"XX"))
    assert workshop.store.blobs.read(path.name) is None
    workshop.push(said, blobs=(vin, plate))
    assert path.read_bytes() == vin


def test_the_file_of_checks_is_no_truth(workshop, job, path):
    path.write_bytes(OTHER)
    store = workshop.store
    assert store.blobs.check(SHA) == "altered"
    file = workshop.folder / "blob-checks.db"
    store.checks._database.close()
    for end in ("-wal", "-shm"):
        file.with_name(file.name + end).unlink(missing_ok=True)
    file.write_bytes(b"no database at all, and long enough to be looked at" * 40)
    anew = type(store)(workshop.folder)
    assert anew.blobs.check(SHA) == "altered"
    assert [one.found for one in anew.checks.bad()] == ["altered"]


def test_asking_makes_no_file_where_nothing_was_found(workshop, open_client, phone, owner, job):
    """On a full disk there is no room for one, and phones go on reading the log."""
    assert open_client(phone).get("/api/log?since=0").json["wanted"] == []
    assert owner.get("/api/findings").json == {"findings": [], "all": 0}
    assert owner.get(f"/api/blobs/{SHA}").status_code == 200
    assert not (workshop.folder / "blob-checks.db").exists()


def test_owner_and_auditor_hear_of_it_by_name(workshop, open_client, phone, job, path):
    path.write_bytes(OTHER)
    clients = {role: open_client(workshop.enrol(role)) for role in ("owner", "auditor")}
    clients["owner"].get(f"/api/blobs/{SHA}")
    for client in clients.values():
        (said,) = client.get("/api/findings").json["findings"]
        assert said.pop("found_at")
        assert said == {
            "blob": SHA,
            "found": "altered",
            "what": "photo",
            "job": job,
            "step": "belt_off",
            "name": "seen",
        }
    assert open_client(phone).get("/api/findings").status_code == 404


def test_the_log_says_what_the_workshop_wants_back(workshop, open_client, phone, job, path):
    client = open_client(phone)
    assert client.get("/api/log?since=0").json["wanted"] == []
    path.unlink()
    client.get(f"/api/blobs/{SHA}")
    assert client.get("/api/log?since=0").json["wanted"] == [SHA]
    upload(client)
    assert client.get("/api/log?since=0").json["wanted"] == []


@pytest.mark.parametrize("data", [b"<!DOCTYPE html><p>", b'<svg xmlns="">', b"GIF89a/*"])
def test_what_is_no_image_is_told_as_it_comes_in(workshop, open_client, phone, owner, job, data):
    workshop.push(taken(phone, job, data))
    upload(open_client(phone), data)
    sha256 = hashlib.sha256(data).hexdigest()
    (said,) = owner.get("/api/findings").json["findings"]
    assert (said["blob"], said["found"]) == (sha256, "mistyped")
    answer = owner.get(f"/api/blobs/{sha256}")
    assert (answer.data, answer.headers["Content-Type"]) == (data, "application/octet-stream")
    assert owner.get(f"/api/blobs/{sha256}?width=60").json["code"] == "no-copy"


def test_an_auditor_hears_of_it_within_the_scope_alone(workshop, open_client, owner, job, path):
    path.unlink()
    owner.get(f"/api/blobs/{SHA}")
    scopes = {"this job": {"jobs": [job]}, "another": {"jobs": [uuid7()]}}
    found = {}
    for name, scope in scopes.items():
        client = open_client(workshop.enrol("auditor", scope=scope))
        found[name] = client.get("/api/findings").json["all"]
    assert found == {"this job": 1, "another": 0}
