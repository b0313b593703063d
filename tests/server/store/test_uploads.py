"""Photos in pieces: flushed once, and read back from the disk before the whole gets its name."""

import hashlib
import os
from pathlib import Path

import pytest

from twoturns.store.errors import UploadRefused
from twoturns.store.upload_folder import UploadFolder
from workshop import Workshop

DEVICE = "d" * 43
PHOTO = os.urandom(500_000)
SHA = hashlib.sha256(PHOTO).hexdigest()
CUTS = (0, 200_000, 200_010, 450_000, len(PHOTO))


@pytest.fixture
def store(tmp_path):
    return Workshop(tmp_path / "data").store


@pytest.fixture
def uploads(store):
    return store.uploads


@pytest.fixture
def another(store):
    """The same folder in another process."""
    return UploadFolder(store.uploads.folder, store.blobs, 0)


def send(uploads, start, end, data=PHOTO):
    pieces = (data[at : min(at + 100_000, end)] for at in range(start, end, 100_000))
    return uploads.append(DEVICE, SHA, start, pieces)


def half(uploads):
    (path,) = (uploads.folder / DEVICE).iterdir()
    return path


def send_all(each, data=PHOTO):
    each[0].begin(DEVICE, SHA, len(PHOTO))
    for uploads, start, end in zip(each, CUTS, CUTS[1:], strict=False):
        progress = send(uploads, start, end, data)
    assert progress.is_complete
    each[-1].finish(DEVICE, SHA)


def test_what_the_disk_gives_back_is_what_counts(store, uploads, monkeypatch):
    """All that came was right, and a byte of it is another one once it was flushed."""
    flush = os.fsync

    def spoil(file):
        flush(file)
        path = Path(f"/proc/self/fd/{file}").readlink()
        if SHA in path.name:
            with path.open("r+b") as half:
                half.seek(300_000)
                half.write(bytes([PHOTO[300_000] ^ 1]))

    monkeypatch.setattr(os, "fsync", spoil)
    with pytest.raises(UploadRefused, match="hash"):
        send_all([uploads] * 4)
    assert not store.blobs.has(SHA)
    assert uploads.progress(DEVICE, SHA) is None  # the phone begins anew


@pytest.mark.parametrize("turns", ["0101", "0110", "0111", "1000"])
def test_pieces_that_two_processes_took_make_one_photo(store, uploads, another, turns):
    send_all([(uploads, another)[int(turn)] for turn in turns])
    assert store.blobs.read(SHA) == PHOTO


@pytest.mark.parametrize("turns", ["0000", "0101", "0110"])
def test_a_wrong_byte_is_found_whoever_took_it(store, uploads, another, turns):
    each = [(uploads, another)[int(turn)] for turn in turns]
    with pytest.raises(UploadRefused, match="hash"):
        send_all(each, PHOTO[:300_000] + bytes([PHOTO[300_000] ^ 1]) + PHOTO[300_001:])
    assert not store.blobs.has(SHA)


def test_a_half_that_was_written_to_meanwhile_is_read_through(store, uploads):
    uploads.begin(DEVICE, SHA, len(PHOTO))
    send(uploads, 0, 300_000)
    with half(uploads).open("r+b") as file:
        file.seek(7)
        file.write(bytes([PHOTO[7] ^ 1]))
    send(uploads, 300_000, len(PHOTO))
    with pytest.raises(UploadRefused, match="hash"):
        uploads.finish(DEVICE, SHA)
    assert not store.blobs.has(SHA)


def test_after_a_power_cut_the_phone_goes_on_at_the_lower_offset(store, uploads, another):
    uploads.begin(DEVICE, SHA, len(PHOTO))
    send(uploads, 0, 300_000)
    os.truncate(half(uploads), 120_000)  # the rest had not reached the disk
    for each in (uploads, another):
        with pytest.raises(UploadRefused) as refused:
            send(each, 300_000, len(PHOTO))
        assert refused.value.code == "wrong-offset"
    assert another.progress(DEVICE, SHA).offset == 120_000
    send(another, 120_000, len(PHOTO))
    another.finish(DEVICE, SHA)
    assert store.blobs.read(SHA) == PHOTO


def test_it_is_flushed_once_and_let_go_of_before_it_is_read_and_named(uploads, monkeypatch):
    done = []

    def watched(name):
        work = getattr(os, name)

        def call(one, *rest):
            path = str(Path(f"/proc/self/fd/{one}").readlink() if isinstance(one, int) else one)
            done.append((name, "half" if SHA in path else "folder"))
            return work(one, *rest)

        monkeypatch.setattr(os, name, call)

    for name in ("fsync", "posix_fadvise", "replace"):
        watched(name)
    send_all([uploads] * 4)
    assert done == [
        ("fsync", "half"),
        ("posix_fadvise", "half"),
        ("replace", "half"),
        ("fsync", "folder"),
    ]
