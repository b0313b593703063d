"""Thumbnails are made once, from whole bytes, and are what they were made."""

import hashlib
import io

import pytest
from PIL import Image

from photos import bomb, photo
from twoturns.bag import picture
from twoturns.store.errors import BlobDamaged
from workshop import NOON, Workshop


@pytest.fixture
def store(tmp_path):
    return Workshop(tmp_path / "data").store


@pytest.fixture
def blob(store):
    sha256 = store.blobs.put(photo(800, 600))
    store.ledger.keep([sha256], NOON)
    return sha256


def test_it_is_made_once_and_then_read(store, blob, monkeypatch):
    small = store.thumbnails.of(blob)
    with Image.open(io.BytesIO(small)) as image:
        assert image.width == picture.THUMBNAIL_PX
        assert not image.getexif()
    monkeypatch.setattr(picture, "copy_at_most", lambda *_: pytest.fail("made again"))
    assert store.thumbnails.of(blob) == small


def test_none_is_made_of_damaged_bytes(store, blob):
    store.blobs.path(blob).write_bytes(photo(801))
    with pytest.raises(BlobDamaged):
        store.thumbnails.of(blob)
    assert not store.blobs.thumbnail_path(blob).exists()


def test_one_that_was_made_before_shows_what_the_photo_was(store, blob):
    small = store.thumbnails.of(blob)
    store.blobs.path(blob).write_bytes(photo(801))
    assert store.thumbnails.of(blob) == small


@pytest.mark.parametrize("harm", [b"", b"short", b"x" * 5000])
def test_one_that_was_damaged_is_made_anew(store, blob, harm):
    small, path = store.thumbnails.of(blob), store.blobs.thumbnail_path(blob)
    path.write_bytes(harm)
    assert store.thumbnails.of(blob) == small
    path.write_bytes(path.read_bytes()[:-1] + b"x")
    assert store.thumbnails.of(blob) == small


def test_it_goes_with_an_erasure(store, blob):
    store.thumbnails.of(blob)
    store.blobs.erase(blob)
    assert not store.blobs.thumbnail_path(blob).exists()


def test_a_bomb_has_none(store):
    blob = store.blobs.put(bomb(13_000))
    assert store.thumbnails.of(blob) is None


@pytest.mark.parametrize("spot", [False, True])
def test_one_that_another_program_packed_is_of_the_photo_and_one_with_a_changed_spot_is_not(
    store, blob, spot
):
    with Image.open(io.BytesIO(store.thumbnails.of(blob))) as shown:
        if spot:
            shown.paste((255, 255, 255), (30, 30, 34, 34))
        again = io.BytesIO()
        shown.save(again, "JPEG", quality=95 if spot else 72, optimize=True)
    kept = hashlib.sha256(again.getvalue()).digest() + again.getvalue()
    store.blobs.thumbnail_path(blob).write_bytes(kept)
    assert store.thumbnails.renew_if_other(blob) is spot


def test_none_stays_of_a_photo_that_is_erased_while_it_is_made(store, blob, monkeypatch):
    make = picture.copy_at_most

    def erased_meanwhile(data, width_px):
        store.blobs.erase(blob)
        return make(data, width_px)

    monkeypatch.setattr(picture, "copy_at_most", erased_meanwhile)
    store.thumbnails.soon(blob)
    store.thumbnails.make_next()
    assert not store.blobs.thumbnail_path(blob).exists()


def test_what_is_no_picture_or_is_gone_is_not_opened_as_one(store, monkeypatch):
    monkeypatch.setattr(picture, "copy_at_most", lambda *_: pytest.fail("opened"))
    for one in (store.blobs.put(b"a sound"), "ab" * 32):
        store.thumbnails.soon(one)
        store.thumbnails.make_next()
