"""Every blob is read through in a while, and what is found is told by name and mended."""

import hashlib
import io
from datetime import timedelta

import pytest
from PIL import Image

from photos import photo
from twoturns.store import Store
from twoturns.store.scrub import (
    LEAST_A_DAY,
    ROUND_DAYS,
    due,
    findings,
    is_due,
    mend,
    read_slice,
    scrub,
    wanted,
)
from twoturns.store.sight import Sight
from twoturns.store.times import as_text
from workshop import NOON, Workshop, opening, private_value, uuid7

PHOTO = photo()
SHA = hashlib.sha256(PHOTO).hexdigest()


@pytest.fixture
def phone(workshop):
    return workshop.enrol("mechanic")


def take(workshop, phone, data=PHOTO, media_type="image/jpeg"):
    job, values = uuid7(), (private_value("vin", "TT1"), private_value("plate", "W1"))
    body = {"step": "belt_off", "name": "seen", "blob": hashlib.sha256(data).hexdigest()}
    body |= {"size": len(data), "type": media_type, "width": 400, "height": 300, "how": "live"}
    said = [
        phone.write("job.opened", opening(*values), job),
        phone.write("photo.taken", body, job),
    ]
    workshop.push(*said, blobs=values)
    workshop.store.ledger.keep([workshop.store.blobs.put(data)], NOON)
    return job


@pytest.mark.both_ledgers
def test_all_that_is_kept_is_read_and_found_whole(workshop, phone):
    take(workshop, phone)
    found = dict(scrub(workshop.store))
    assert found == dict.fromkeys(workshop.store.views.kept(), "whole")
    assert workshop.store.checks.read_at([*found]).keys() == found.keys()


def test_damage_behind_a_remembered_check_is_found(workshop, phone):
    """The scrub reads the bytes, whatever is remembered of the file."""
    take(workshop, phone)
    store = workshop.store
    assert store.blobs.check(SHA) == "whole"
    with store.blobs.open(SHA) as file:
        identity = store.blobs._remembered._known[SHA][0]
        assert file.read() == PHOTO
    store.blobs.path(SHA).write_bytes(PHOTO[:-1] + b"x")
    stat = store.blobs.path(SHA).stat()
    store.blobs._remembered._known[SHA] = (
        (stat.st_ino, stat.st_size, stat.st_mtime_ns, stat.st_ctime_ns),
        *store.blobs._remembered._known[SHA][1:],
    )
    assert identity != store.blobs._remembered._known[SHA][0]
    assert store.blobs.check(SHA) == "whole"  # as if the disk had changed it under us
    assert dict(scrub(store))[SHA] == "altered"


@pytest.mark.parametrize("harm", ["altered", "missing"])
def test_a_finding_names_job_step_and_proof_until_it_is_mended(workshop, phone, harm, tmp_path):
    job = take(workshop, phone)
    store = workshop.store
    path = store.blobs.path(SHA)
    path.rename(tmp_path / "kept") if harm == "missing" else path.write_bytes(b"other")
    list(scrub(store))
    ((found,), count) = findings(store, 9, None)
    assert count == 1
    assert (found.blob, found.found, found.named.what) == (SHA, harm, "photo")
    assert (found.named.job, found.named.step, found.named.name) == (job, "belt_off", "seen")
    path.write_bytes(PHOTO)  # by hand, as many do it
    assert findings(store, 9, None) == ([], 0)
    assert store.checks.bad() == []


@pytest.mark.parametrize(
    ("data", "is_told"),
    [
        (b"<!DOCTYPE html><script>alert(1)</script>", True),
        (b'<svg xmlns="http://www.w3.org/2000/svg"/>', True),
        (b"GIF89a/*1*/=1;alert(1)", True),
        (photo(kind="PNG"), True),
        (PHOTO, False),
    ],
)
def test_what_is_not_the_image_it_is_called_is_told_and_kept(workshop, phone, data, is_told):
    take(workshop, phone, data)
    list(scrub(workshop.store))
    assert [one.found for one in findings(workshop.store, 9, None)[0]] == (
        ["mistyped"] if is_told else []
    )
    assert workshop.store.blobs.read(hashlib.sha256(data).hexdigest()) == data
    assert wanted(workshop.store, Sight(phone.id, since="")) == []


def swap_thumbnail(store, of):
    """As whoever can write the folder does it: with the hash that belongs before it."""
    path = store.blobs.thumbnail_path(SHA)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(hashlib.sha256(of).digest() + of)


def told(store):
    return [(one.blob, one.found) for one in findings(store, 9, None)[0]]


def test_a_thumbnail_of_something_else_is_told_and_made_anew(workshop, phone):
    take(workshop, phone)
    store = workshop.store
    right = store.thumbnails.of(SHA)
    with Image.open(io.BytesIO(right)) as image:
        upside_down = io.BytesIO()
        image.rotate(180).save(upside_down, "JPEG")
    swap_thumbnail(store, upside_down.getvalue())
    assert store.thumbnails.of(SHA) != right  # nothing in the folder gives it away
    assert read_slice(store, NOON, lambda _: None) > 0
    assert (store.thumbnails.of(SHA), told(store)) == (right, [(SHA, "misshown")])
    assert wanted(store, Sight(phone.id, since="")) == []
    assert dict(scrub(store))[SHA] == "whole"
    assert told(store) == []


def test_a_thumbnail_that_another_encoder_made_is_left_as_it_is(workshop, phone):
    take(workshop, phone)
    store = workshop.store
    with Image.open(io.BytesIO(store.thumbnails.of(SHA))) as image:
        out = io.BytesIO()
        image.save(out, "JPEG", quality=78)
    swap_thumbnail(store, out.getvalue())
    assert dict(scrub(store))[SHA] == "whole"
    assert store.thumbnails.of(SHA) == out.getvalue()


def test_what_is_no_picture_has_no_thumbnail_put_beside_it(workshop, phone):
    take(workshop, phone, b"no picture")
    store, blob = workshop.store, hashlib.sha256(b"no picture").hexdigest()
    path = store.blobs.thumbnail_path(blob)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(hashlib.sha256(PHOTO).digest() + PHOTO)
    assert dict(scrub(store))[blob] == "misshown"
    assert not path.exists()


@pytest.mark.both_ledgers
def test_a_finding_says_since_when_it_is_known_however_often_it_is_looked_at(workshop, phone):
    take(workshop, phone)
    store = workshop.store
    store.blobs.path(SHA).write_bytes(b"other")
    list(scrub(store))
    ((first,), _) = findings(store, 9, None)
    with store.checks._ready().write() as db:
        db.execute("update checked set found_at = '2026-01-01T00:00:00.000Z'")
    list(scrub(store))
    ((again,), _) = findings(store, 9, None)
    assert (again.found, again.found_at) == (first.found, "2026-01-01T00:00:00.000Z")
    store.blobs.path(SHA).unlink()
    list(scrub(store))
    ((gone,), _) = findings(store, 9, None)
    assert gone.found == "missing"
    assert gone.found_at > "2026-01-01T00:00:00.000Z"


def test_a_disk_full_of_damage_is_counted_and_told_in_part(workshop):
    store = workshop.store
    store.ledger.keep([store.blobs.put(b"%d" % n) for n in range(5)], NOON)
    for blob in store.views.kept():
        store.blobs.path(blob).unlink()
    list(scrub(store))
    told, count = findings(store, 2, None)
    assert (len(told), count) == (2, 5)


def test_it_is_wanted_of_those_who_worked_on_the_job_and_of_no_other(workshop, phone):
    job = take(workshop, phone)
    other = workshop.enrol("mechanic")
    body = {"end": "done"}
    workshop.push(phone.write("job.closed", body, job))
    assert wanted(workshop.store, Sight(phone.id, since="")) == []
    workshop.store.blobs.path(SHA).unlink()
    list(scrub(workshop.store))
    assert wanted(workshop.store, Sight(phone.id, since="")) == [SHA]
    assert wanted(workshop.store, Sight(other.id, since="")) == []
    assert wanted(workshop.store, None) == [SHA]
    workshop.store.blobs.put(PHOTO)
    assert wanted(workshop.store, Sight(phone.id, since="")) == []


def test_a_backup_mends_what_is_damaged_unless_it_is_damaged_too(workshop, phone, tmp_path):
    take(workshop, phone)
    store, backup = workshop.store, Workshop(tmp_path / "backup").store.blobs
    store.blobs.path(SHA).write_bytes(b"other")
    assert not mend(store, SHA, backup)
    backup.put(PHOTO)
    backup.path(SHA).write_bytes(b"damaged as well")
    assert not mend(store, SHA, backup)
    assert store.blobs.path(SHA).read_bytes() == b"other"
    backup.path(SHA).write_bytes(PHOTO)
    assert mend(store, SHA, backup)
    assert store.blobs.read(SHA) == PHOTO
    assert [one.read_bytes() for one in store.blobs.set_aside(SHA)] == [b"other"]
    assert list(store.blobs.temporary.iterdir()) == []


def test_a_day_reads_a_part_and_a_month_reads_all(workshop):
    store = workshop.store
    store.ledger.keep([store.blobs.put(b"%d" % n) for n in range(LEAST_A_DAY + 20)], NOON)
    rests = []
    assert is_due(store, NOON)
    assert read_slice(store, NOON, rests.append) == LEAST_A_DAY
    assert len(rests) == LEAST_A_DAY
    assert not is_due(store, NOON + timedelta(hours=23))
    assert is_due(store, NOON + timedelta(days=1))
    assert is_due(store, NOON - timedelta(days=400))  # the clock was set back
    assert read_slice(store, NOON + timedelta(days=1), rests.append) == 20
    assert len(store.checks.read_at(store.views.kept())) == LEAST_A_DAY + 20
    assert due(store, NOON) == []


def test_those_that_were_not_read_for_longest_come_first(workshop):
    store = workshop.store
    blobs = sorted(store.blobs.put(b"%d" % n) for n in range(3))
    store.ledger.keep(blobs, NOON)
    list(scrub(store))
    said = store.checks.read_at(store.views.kept())
    later = NOON.replace(year=2099)
    for days, blob in enumerate(blobs):
        with store.checks._ready().write() as db:
            at = as_text(later - timedelta(days=ROUND_DAYS - 1 + days))
            db.execute("update checked set read_at = ? where blob = ?", [at, blob])
    assert said.keys() == set(blobs)
    assert due(store, later) == [blobs[2]]
    assert due(store, later + timedelta(days=1)) == [blobs[2], blobs[1]]


@pytest.mark.both_ledgers
def test_a_slice_that_dies_is_still_the_days(workshop):
    store = workshop.store
    store.ledger.keep([store.blobs.put(b"a"), store.blobs.put(b"b")], NOON)

    def killed(_):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        read_slice(store, NOON, killed)
    assert not is_due(Store(workshop.folder), NOON + timedelta(hours=1))
