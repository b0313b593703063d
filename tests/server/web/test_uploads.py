"""tus 1.0.0, row by row: what a phone with a bad line may send, and what it is told."""

import base64
import hashlib
import os
import sys
import time

import pytest

from photos import photo
from twoturns.bag import picture
from twoturns.ledger import checkpoint, record, tree
from twoturns.store import files
from twoturns.store.upload_folder import UploadFolder
from workshop import Client, Workshop, clients

PHOTO = bytes(range(256)) * 400
SHA = hashlib.sha256(PHOTO).hexdigest()
PIECES = "application/offset+octet-stream"


def metadata(sha256: str = SHA) -> str:
    return f"filename cGhvdG8=,sha256 {base64.b64encode(sha256.encode()).decode()}"


def begin(client: Client, data: bytes = PHOTO, **headers: str):
    sha256 = hashlib.sha256(data).hexdigest()
    named = {"Upload_Length": str(len(data)), "Upload_Metadata": metadata(sha256), **headers}
    return client.tus("POST", "/api/uploads", **named)


def patch(client: Client, data: bytes, offset: int, sha256: str = SHA, **headers: str):
    named = {"Upload_Offset": str(offset), "Content_Type": PIECES, **headers}
    return client.tus("PATCH", f"/api/uploads/{sha256}", data, **named)


def offset_of(client: Client, sha256: str = SHA) -> int:
    answer = client.tus("HEAD", f"/api/uploads/{sha256}")
    assert answer.status_code == 200, answer.status_code
    assert answer.headers["Upload-Length"] == str(len(PHOTO))
    return int(answer.headers["Upload-Offset"])


@pytest.fixture
def client(workshop, open_client) -> Client:
    return open_client(workshop.enrol("mechanic"))


def test_a_photo_in_three_pieces_is_kept_and_receipted(workshop, client):
    answer = begin(client)
    assert (answer.status_code, answer.headers["Location"]) == (201, f"/api/uploads/{SHA}")
    assert answer.headers["Upload-Offset"] == "0"
    for start, end in ((0, 10), (10, 50_000), (50_000, len(PHOTO))):
        assert client.get(f"/api/blobs/{SHA}/receipt").status_code == 404
        answer = patch(client, PHOTO[start:end], start)
        assert (answer.status_code, answer.headers["Upload-Offset"]) == (204, str(end))
        assert answer.headers["Tus-Resumable"] == "1.0.0"
    assert workshop.store.blobs.read(SHA) == PHOTO
    assert list((workshop.folder / "uploads").rglob("*.*")) == []

    said = client.get(f"/api/blobs/{SHA}/receipt").json
    head = checkpoint.open(
        said["checkpoint"], workshop.store.ledger.key, workshop.store.ledger.workshop
    )
    kept = record.parse(said["record"])
    assert kept.entry.body == {"blobs": [{"blob": SHA, "size": len(PHOTO)}]}
    path = client.get(f"/api/inclusion?index={said['index']}&size={head.size}").json["path"]
    nodes = [base64.b64decode(node) for node in path]
    assert tree.verify_inclusion(kept.leaf, said["index"], head.size, nodes, head.root)


def test_a_known_photo_costs_one_request(workshop, client, open_client):
    begin(client)
    patch(client, PHOTO, 0)
    size = workshop.store.ledger.size()
    other = open_client(workshop.enrol("mechanic"))
    answer = begin(other)
    assert (answer.status_code, answer.headers["Upload-Offset"]) == (201, str(len(PHOTO)))
    assert offset_of(other) == len(PHOTO)
    assert workshop.store.ledger.size() == size + 2  # the enrolment alone


def test_an_upload_goes_on_where_it_stood(client):
    begin(client)
    patch(client, PHOTO[:70], 0)
    assert offset_of(client) == 70
    answer = begin(client)
    assert answer.headers["Upload-Offset"] == "70"
    assert patch(client, PHOTO[70:], 70).status_code == 204


def test_the_last_piece_sent_again_because_its_answer_was_lost(workshop, client):
    begin(client)
    patch(client, PHOTO, 0)
    assert patch(client, PHOTO, 0).status_code == 409  # it asks for the offset then
    assert offset_of(client) == len(PHOTO)
    answer = patch(client, b"", len(PHOTO))
    assert (answer.status_code, answer.headers["Upload-Offset"]) == (204, str(len(PHOTO)))


def test_a_server_killed_before_it_kept_the_photo_keeps_it_when_asked_again(workshop, client):
    workshop.store.blobs.put(PHOTO)  # in place, but no record says so
    assert client.tus("HEAD", f"/api/uploads/{SHA}").status_code == 404
    assert begin(client).headers["Upload-Offset"] == str(len(PHOTO))
    assert client.get(f"/api/blobs/{SHA}/receipt").status_code == 200


def test_a_photo_whose_name_may_not_be_on_the_disk_is_kept_once_it_is(client, monkeypatch):
    flush, flushed = files.sync_folder, []
    begin(client)
    with monkeypatch.context() as killed:
        killed.setattr(files, "sync_folder", lambda _: sys.exit())
        with pytest.raises(SystemExit):
            patch(client, PHOTO, 0)
    monkeypatch.setattr(
        files, "sync_folder", lambda folder: flush(folder) or flushed.append(folder)
    )
    assert begin(client).headers["Upload-Offset"] == str(len(PHOTO))
    assert SHA[:2] in [folder.name for folder in flushed]


def test_two_phones_with_one_photo_do_not_write_into_each_other(workshop, client, open_client):
    other = open_client(workshop.enrol("mechanic"))
    begin(client)
    begin(other)
    patch(client, PHOTO[:100], 0)
    assert offset_of(other) == 0
    assert patch(other, PHOTO, 0).status_code == 204
    assert begin(client).headers["Upload-Offset"] == str(len(PHOTO))


def test_an_empty_blob_is_whole_from_the_start(client):
    answer = begin(client, b"")
    assert answer.headers["Upload-Offset"] == "0"
    empty = hashlib.sha256(b"").hexdigest()
    assert client.get(f"/api/blobs/{empty}/receipt").status_code == 200


TABLE = {
    "a wrong offset": (lambda c: patch(c, b"x", 5), 409, "wrong-offset"),
    "no length at all": (lambda c: begin(c, Upload_Length=""), 400, "bad-header"),
    "a length to come": (
        lambda c: begin(c, Upload_Length="", Upload_Defer_Length="1"),
        400,
        "bad-header",
    ),
    "no version": (lambda c: c.tus("HEAD", f"/api/uploads/{SHA}", Tus_Resumable="0.2"), 412, None),
    "another type": (lambda c: patch(c, b"x", 0, Content_Type="image/jpeg"), 415, None),
    "no offset": (lambda c: patch(c, b"x", 0, Upload_Offset="-1"), 400, "bad-header"),
    "not begun": (lambda c: patch(c, b"x", 0, "ab" * 32), 404, "no-upload"),
    "too much": (lambda c: patch(c, PHOTO + b"x", 0), 400, "upload-too-long"),
    "a wrong sha1": (
        lambda c: patch(c, b"x", 0, Upload_Checksum="sha1 " + "A" * 27 + "="),
        460,
        "wrong-checksum",
    ),
    "an unknown checksum": (
        lambda c: patch(c, b"x", 0, Upload_Checksum="md5 AAAA"),
        400,
        "bad-header",
    ),
    "no base64": (lambda c: patch(c, b"x", 0, Upload_Checksum="sha1 !"), 400, "bad-header"),
    "no length": (lambda c: begin(c, Upload_Length="many"), 400, "bad-header"),
    "no sha256": (lambda c: begin(c, Upload_Metadata="name eA=="), 400, "bad-header"),
    "a path for a sha256": (
        lambda c: begin(c, Upload_Metadata=metadata("../" * 21 + "x")),
        400,
        "bad-header",
    ),
    "a photo of 300 MB": (lambda c: begin(c, Upload_Length="300000000"), 413, "photo-too-large"),
}


@pytest.mark.parametrize("case", TABLE)
def test_what_is_refused_changes_nothing(client, case):
    request, status, code = TABLE[case]
    begin(client)
    answer = request(client)
    assert answer.status_code == status
    if answer.data:  # a HEAD has no body
        assert answer.json["hint"]
        assert code is None or answer.json["code"] == code
    assert answer.headers["Tus-Resumable"] == "1.0.0"
    assert offset_of(client) == 0


@pytest.mark.parametrize("algorithm", ["sha1", "sha256"])
def test_a_right_checksum_is_taken(client, algorithm):
    begin(client)
    digest = base64.b64encode(hashlib.new(algorithm, PHOTO[:9]).digest()).decode()
    answer = patch(client, PHOTO[:9], 0, Upload_Checksum=f"{algorithm} {digest}")
    assert answer.headers["Upload-Offset"] == "9"


def test_bytes_that_are_not_the_photo_are_thrown_away_and_sent_anew(workshop, client):
    begin(client)
    answer = patch(client, PHOTO[:-1] + b"!", 0)
    assert (answer.status_code, answer.json["code"]) == (460, "wrong-hash")
    assert not workshop.store.blobs.has(SHA)
    assert begin(client).headers["Upload-Offset"] == "0"
    assert patch(client, PHOTO, 0).status_code == 204


def test_a_broken_line_leaves_what_arrived(client):
    begin(client)

    class Broken:
        """A body that breaks after 1,000 bytes."""

        def __init__(self):
            self.left = [PHOTO[:1000]]

        def read(self, *_):
            if not self.left:
                raise OSError("the line is gone")
            return self.left.pop()

    environ = {
        "wsgi.input": Broken(),
        "CONTENT_LENGTH": str(len(PHOTO)),
        "HTTP_TUS_RESUMABLE": "1.0.0",
        "HTTP_UPLOAD_OFFSET": "0",
        "HTTP_COOKIE": client.headers["Cookie"],
        "CONTENT_TYPE": PIECES,
    }
    browser = client.app.test_client(use_cookies=False)
    browser.open(f"/api/uploads/{SHA}", method="PATCH", environ_overrides=environ)
    assert offset_of(client) == 1000
    assert patch(client, PHOTO[1000:], 1000).status_code == 204


def test_below_the_floor_photos_wait_and_entries_go_on(workshop, monkeypatch):
    client = clients(workshop, floor_bytes=2**20)(phone := workshop.enrol("mechanic"))
    monkeypatch.setattr(files, "free_bytes", lambda _: 2**20)
    answer = begin(client)
    assert (answer.status_code, answer.json["code"]) == (507, "workshop-full")
    assert answer.json["hint"]
    said = phone.write("job.taken", {}, "00000001-0000-7000-8000-000000000009")
    assert client.push(said).json["indices"] == {said.id: 3}


def test_a_disk_that_fills_during_an_upload_pauses_it(workshop, monkeypatch):
    client = clients(workshop, floor_bytes=2**20)(workshop.enrol("mechanic"))
    begin(client)
    monkeypatch.setattr(files, "free_bytes", lambda _: 2**20)
    assert patch(client, PHOTO, 0).status_code == 507
    monkeypatch.undo()
    assert offset_of(client) == 0
    assert patch(client, PHOTO, 0).status_code == 204


def test_an_erased_photo_does_not_come_back(workshop, client):
    begin(client)
    patch(client, PHOTO, 0)
    erased = {"blob": SHA, "reason": "the customer asked", "basis": "law"}
    workshop.store.ledger.state("blob.erased", erased, workshop.now)
    assert not workshop.store.blobs.has(SHA)
    answer = begin(client)
    assert (answer.status_code, answer.json["code"]) == (410, "blob-erased")


def test_half_an_upload_of_what_was_erased_is_not_finished(workshop, client):
    begin(client)
    assert patch(client, PHOTO[:1000], 0).status_code == 204
    workshop.store.ledger.state(
        "blob.erased", {"blob": SHA, "reason": "asked", "basis": "law"}, workshop.now
    )
    answer = patch(client, PHOTO[1000:], 1000)
    assert (answer.status_code, answer.json["code"]) == (410, "blob-erased")
    assert not workshop.store.blobs.has(SHA)
    assert halves(workshop) == []


def test_what_is_erased_while_its_last_piece_comes_in_does_not_stay(workshop, client, monkeypatch):
    begin(client)
    finish = UploadFolder.finish
    monkeypatch.setattr(UploadFolder, "forget", lambda *_: None)  # the half is held by the request

    def finish_and_erase(uploads, device, sha256):
        # The erasure is carried out before the file has its place, so it finds none.
        body = {"blob": SHA, "reason": "asked", "basis": "law"}
        workshop.store.ledger.state("blob.erased", body, workshop.now)
        finish(uploads, device, sha256)

    monkeypatch.setattr(UploadFolder, "finish", finish_and_erase)
    assert patch(client, PHOTO, 0).status_code == 410
    assert not workshop.store.blobs.has(SHA)
    assert workshop.store.views.kept_at(SHA) is None


def test_no_large_upload_without_a_session(workshop: Workshop, open_client):
    stranger = open_client()
    assert begin(stranger).status_code == 401
    assert list((workshop.folder / "uploads").iterdir()) == []


def halves(workshop) -> list[str]:
    return sorted(path.name[:64] for path in workshop.store.uploads.folder.glob("*/*"))


def test_a_device_holds_few_halves_and_the_newest_stay(workshop, client, open_client):
    other = open_client(workshop.enrol("mechanic"))
    begin(other)
    photos = [bytes([n]) * 100 for n in range(12)]
    for data in photos:
        begin(client, data)
        patch(client, data[:10], 0, hashlib.sha256(data).hexdigest())
    newest = [hashlib.sha256(data).hexdigest() for data in photos[-8:]]
    assert halves(workshop) == sorted([SHA, *newest])
    assert patch(client, photos[0], 0, hashlib.sha256(photos[0]).hexdigest()).status_code == 404
    last = photos[-1]
    assert patch(client, last[10:], 10, newest[-1]).status_code == 204


def test_halves_that_nobody_goes_on_with_are_swept(workshop, client):
    begin(client)
    begin(client, b"another photo")
    (old,) = workshop.store.uploads.folder.glob(f"*/{SHA}.*")
    long_ago = time.time() - 31 * 86_400
    os.utime(old, (long_ago, long_ago))
    workshop.store.tidy()
    assert halves(workshop) == [hashlib.sha256(b"another photo").hexdigest()]


def test_the_server_says_what_it_can_to_one_who_has_not_said_a_version(open_client):
    """tus 1.0.0, OPTIONS: the only request without `Tus-Resumable`."""
    answer = open_client()._client.open("/api/uploads", method="OPTIONS")
    assert answer.status_code == 204
    said = {name: answer.headers[name] for name in ("Tus-Version", "Tus-Extension", "Tus-Max-Size")}
    assert said == {
        "Tus-Version": "1.0.0",
        "Tus-Extension": "creation,checksum",
        "Tus-Max-Size": str(256 * 2**20),
    }
    assert "sha1" in answer.headers["Tus-Checksum-Algorithm"].split(",")


def test_a_version_we_do_not_speak_is_refused_with_those_we_do(client):
    for method, path in (("POST", "/api/uploads"), ("HEAD", f"/api/uploads/{SHA}")):
        answer = client.tus(method, path, Tus_Resumable="2.0.0")
        assert (answer.status_code, answer.headers["Tus-Version"]) == (412, "1.0.0")


def test_no_answer_about_an_upload_may_be_stored(client):
    """tus 1.0.0, HEAD: `Cache-Control: no-store`, or a cache would give an old offset."""
    for begun in (False, True):
        if begun:
            begin(client)
        answer = client.tus("HEAD", f"/api/uploads/{SHA}")
        assert answer.headers["Cache-Control"] == "no-store"
        assert ("Upload-Offset" in answer.headers) is begun


def test_a_photo_that_is_kept_has_its_thumbnail_before_anybody_asks(workshop, client, monkeypatch):
    data = photo(800, 600)
    sha256 = hashlib.sha256(data).hexdigest()
    begin(client, data)
    patch(client, data[:1000], 0, sha256)
    patch(client, data[1000:], 1000, sha256)
    client.app.extensions["twoturns"].served.store.thumbnails.make_next()
    monkeypatch.setattr(picture, "copy_at_most", lambda *_: pytest.fail("made again"))
    small = workshop.store.thumbnails.of(sha256)
    assert small is not None
    assert picture.header_of(small).width == picture.THUMBNAIL_PX
