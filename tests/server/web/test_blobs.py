"""Blobs as they leave: bytes nobody's browser runs, and copies that say nothing of the place."""

import io
from random import Random

import pytest
from PIL import Image

from photos import bomb, photo
from twoturns.bag import picture
from workshop import NOON, PICTURE, publish_tiny


@pytest.fixture
def keep(workshop):
    def kept(data: bytes) -> str:
        blob = workshop.store.blobs.put(data)
        workshop.store.ledger.keep([blob], NOON)
        return blob

    return kept


@pytest.fixture
def client(workshop, open_client):
    return open_client(workshop.enrol("owner"))


@pytest.mark.parametrize("data", [b"<script>alert(1)</script>", b"GIF89a/*", photo()])
def test_the_bytes_leave_as_an_attachment_without_an_origin(keep, client, data):
    answer = client.get(f"/api/blobs/{keep(data)}")
    assert answer.data == data
    headers = answer.headers
    assert headers["Content-Type"] == "application/octet-stream"
    assert headers["Content-Disposition"].startswith("attachment")
    assert headers["Content-Security-Policy"] == "sandbox; default-src 'none'"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Cache-Control"] == "no-store"


def test_a_part_of_a_photo_may_be_asked_for(keep, client):
    blob = keep(b"0123456789")
    answer = client.get(f"/api/blobs/{blob}", Range="bytes=2-4")
    assert (answer.status_code, answer.data) == (206, b"234")
    assert answer.headers["Content-Range"] == "bytes 2-4/10"
    assert answer.headers["Content-Security-Policy"] == "sandbox; default-src 'none'"


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_copy_is_small_upright_and_says_nothing(keep, client, kind):
    blob = keep(photo(kind=kind))
    answer = client.get(f"/api/blobs/{blob}?width=60")
    assert answer.headers["Content-Type"] == "image/jpeg"
    copy = Image.open(io.BytesIO(answer.data))
    assert copy.size == (60, 80)
    assert not copy.getexif()
    assert b"Exif" not in answer.data
    assert b"Camera maker" not in answer.data


def test_a_small_photo_is_not_blown_up(keep, client):
    answer = client.get(f"/api/blobs/{keep(photo(40, 30))}?width=1000")
    assert Image.open(io.BytesIO(answer.data)).size == (30, 40)


@pytest.mark.parametrize(
    "data",
    [b"no picture", bomb(13_000), b'<svg xmlns="http://www.w3.org/2000/svg"/>', photo()[:500]],
)
def test_what_cannot_be_copied_says_so(keep, client, data):
    answer = client.get(f"/api/blobs/{keep(data)}?width=60")
    assert (answer.status_code, answer.json["code"]) == (415, "no-copy")
    assert answer.json["hint"]


def test_a_bomb_is_judged_by_its_header(monkeypatch):
    monkeypatch.setattr(Image.Image, "load", lambda *_: pytest.fail("decoded"))
    assert picture.copy_at_most(bomb(13_000), 60) is None


def test_a_picture_too_tall_for_a_jpeg_is_made_smaller():
    out = io.BytesIO()
    Image.new("L", (1, 70_000)).save(out, "PNG")
    copy = picture.copy_at_most(out.getvalue(), 60)
    assert copy is not None
    assert Image.open(io.BytesIO(copy)).height == 65_500


@pytest.mark.filterwarnings("ignore::UserWarning")  # Pillow's remarks on broken metadata
@pytest.mark.parametrize("kind", ["JPEG", "WEBP", "PNG"])
def test_no_change_of_its_bytes_makes_copying_a_photo_fail(kind):
    good, rng = photo(40, 30, kind), Random(1)
    for _ in range(3000):
        data = bytearray(good)
        for _ in range(rng.randint(1, 6)):
            data[rng.randrange(min(len(data), 250))] = rng.choice([0, 1, 127, 255])
        picture.copy_at_most(bytes(data), 60)


def test_bundles_are_listed_once_and_fetched_by_their_hash(workshop, open_client):
    client = open_client(workshop.enrol("mechanic"))
    bundle = publish_tiny(workshop.store)
    answer = client.get("/api/bundles")
    (row,) = answer.json["bundles"]
    assert (row["bundle"], row["edition"], row["withdrawn"]) == (bundle.sha256, 1, None)
    assert row["engine_codes"] == bundle.bundle["engine_codes"]
    again = client.get("/api/bundles", **{"If-None-Match": answer.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")

    answer = client.get(f"/api/bundles/{bundle.sha256}")
    assert answer.data == bundle.canonical
    assert "immutable" in answer.headers["Cache-Control"]
    (asset,) = bundle.bundle["assets"]
    assert client.get(f"/api/blobs/{asset['blob']}").data == PICTURE

    publish_tiny(workshop.store, edition=2)
    newer = client.get("/api/bundles", **{"If-None-Match": answer.headers.get("ETag", "")})
    assert len(newer.json["bundles"]) == 2
