"""
The disk fails at the n-th call, n = 1, 2, 3, ... until a run goes through.

After each failure: no receipt was given, nothing is half there, and the same request sent again
earns its receipt. (The manner is SQLite's own tests of I/O errors.)
"""

import errno
import hashlib
import os

import pytest

from twoturns.store import files
from twoturns.store.errors import WorkshopFull
from workshop import NOON, Workshop, opening, private_value, uuid7

PHOTO = b"a photo" * 40_000


class FailingDisk:
    """Lets the n-th write, fsync or rename fail as a full disk does."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.left = 0
        for name in ("write", "fsync", "replace"):
            monkeypatch.setattr(os, name, self._counting(getattr(os, name)))

    def _counting(self, work):
        def counted(*args, **kwargs):
            self.left -= 1
            if self.left == 0:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            return work(*args, **kwargs)

        return counted

    def fails_at(self, n: int) -> None:
        self.left = n


def torn(workshop: Workshop) -> list[str]:
    """Return the blobs whose bytes are not their own."""
    blobs = workshop.store.blobs
    return [blob for blob in blobs.all() if not blobs.is_whole(blob)]


def test_a_batch_with_private_values_is_taken_whole_or_not_at_all(workshop, monkeypatch):
    phone = workshop.enrol("mechanic")
    disk = FailingDisk(monkeypatch)
    for n in range(1, 100):
        job, values = uuid7(), [private_value("vin", f"TT{n}"), private_value("plate", f"W{n}")]
        said = phone.write("job.opened", opening(*values), job)
        size = workshop.store.ledger.size()
        disk.fails_at(n)
        try:
            workshop.push(said, blobs=tuple(values))
        except WorkshopFull:
            assert workshop.store.ledger.size() == size
            disk.fails_at(0)
            assert workshop.push(said, blobs=tuple(values)).indices == {said.id: size}
            assert torn(workshop) == []
        else:
            break
    assert n > 8  # four calls a private value were all tried
    assert list(workshop.store.blobs.temporary.iterdir()) == []


def test_a_photo_is_kept_whole_or_not_at_all(workshop, monkeypatch):
    device = workshop.enrol("mechanic").id
    uploads, ledger = workshop.store.uploads, workshop.store.ledger
    disk = FailingDisk(monkeypatch)
    for n in range(1, 100):
        photo = PHOTO + bytes([n])
        sha256 = hashlib.sha256(photo).hexdigest()
        disk.fails_at(n)
        try:
            uploads.begin(device, sha256, len(photo))
            uploads.append(device, sha256, 0, [photo[:100_000], photo[100_000:]])
            uploads.finish(device, sha256)
            ledger.keep([sha256], NOON)
        except WorkshopFull:
            assert workshop.store.views.kept_at(sha256) is None
            disk.fails_at(0)
            if not workshop.store.blobs.has(sha256):
                at = uploads.begin(device, sha256, len(photo)).offset
                uploads.append(device, sha256, at, [photo[at:]])
                uploads.finish(device, sha256)
            ledger.keep([sha256], NOON)
            assert workshop.store.views.kept_size(sha256) == len(photo)
            assert torn(workshop) == []
        else:
            break
    assert n > 4


@pytest.mark.embedded("it bounds SQLite's file")
def test_a_database_that_cannot_grow_keeps_nothing_and_says_so(workshop):
    phone = workshop.enrol("mechanic")
    db = workshop.store.database.connection()
    (pages,) = db.execute("PRAGMA page_count").fetchone()
    said = [phone.write("note.added", {"text": {"blob": "a" * 64}}, uuid7()) for _ in range(400)]
    db.execute(f"PRAGMA max_page_count={pages + 8}")
    with pytest.raises(WorkshopFull):
        workshop.push(*said)
    assert workshop.store.ledger.size() == 3
    db.execute("PRAGMA max_page_count=1000000")
    assert len(workshop.push(*said).indices) == 400
    assert workshop.store.rebuild() == []


def test_another_failure_of_the_disk_is_not_called_full(workshop, monkeypatch):
    def broken(*_):
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr(os, "fsync", broken)
    with pytest.raises(OSError, match="Input/output"):
        workshop.store.blobs.put(b"x")
    assert files.free_bytes(workshop.folder) > 0
