"""`twoturns import`: a phone's file goes the way of a push, with the same checks."""

import hashlib
import zipfile

import pytest
from click.testing import CliRunner

from twoturns.cli import main
from workshop import opening, private_value, ref, uuid7

PICTURE = b"\xff\xd8\xff the bytes of a picture"


@pytest.fixture
def run(tmp_path):
    def invoke(file):
        words = ["import", str(file), "--data", str(tmp_path / "data")]
        result = CliRunner().invoke(main, words)
        assert result.exception is None or isinstance(result.exception, SystemExit)
        return result.exit_code, result.output

    return invoke


@pytest.fixture
def written(workshop):
    """A job on a phone that was never sent: lines, private values and a photo's bytes."""
    phone, job = workshop.enrol("mechanic"), uuid7()
    vin, plate = private_value("vin", "TT000000000000001"), private_value("plate", "WEIR 12")
    sha256 = hashlib.sha256(PICTURE).hexdigest()
    photo = {"step": "cover_off", "name": "covers", "blob": sha256, "size": len(PICTURE)}
    photo |= {"type": "image/jpeg", "width": 0, "height": 0, "how": "live"}
    said = [
        phone.write("job.opened", opening(vin, plate), job),
        phone.write("photo.taken", photo, job),
        phone.write("note.added", {"text": ref(vin)}, job),
    ]
    return {
        "two-turns.txt": b"two-turns export 1\n",
        "entries.txt": b"".join(one.line.encode() + b"\n" for one in said),
        "values.txt": vin + b"\n" + plate + b"\n",
        f"photos/{sha256}": PICTURE,
    }


@pytest.fixture
def heard(workshop, written):
    """The same job with a reading that an instrument took, and what it saw."""
    phone, sheet = workshop.enrol("mechanic"), b'{"by":"pluck","edition":1,"v":1}'
    sha256 = hashlib.sha256(sheet).hexdigest()
    reading = {"step": "two_turns", "name": "note", "value": "81.5", "unit": "Hz", "by": "pluck"}
    reading["saw"] = [{"blob": sha256, "size": len(sheet), "type": "application/json"}]
    line = phone.write("reading.taken", reading, uuid7()).line
    written["entries.txt"] += line.encode() + b"\n"
    written[f"photos/{sha256}"] = sheet
    return sha256, written


def packed(path, members, method=zipfile.ZIP_STORED):
    with zipfile.ZipFile(path, "w", method) as file:
        for name, content in members.items():
            file.writestr(name, content)
    return path


def test_what_was_never_sent_is_taken_in_and_a_second_time_changes_nothing(
    workshop, run, written, tmp_path
):
    file = packed(tmp_path / "job.zip", written)
    code, printed = run(file)
    assert (code, "3 entries and 1 photo kept here" in printed) == (0, True)
    (row,) = workshop.store.views.jobs()
    assert (row["plate"], row["entries"]) == ("WEIR 12", 3)
    sha256 = hashlib.sha256(PICTURE).hexdigest()
    assert workshop.store.blobs.read(sha256) == PICTURE
    assert workshop.store.views.kept_size(sha256) == len(PICTURE)
    size = workshop.store.ledger.size()
    code, printed = run(file)
    assert (code, "0 new records" in printed) == (0, True)
    assert workshop.store.ledger.size() == size


def test_what_a_newer_app_wrote_is_kept_and_said_to_be_not_in_force(
    workshop, run, written, tmp_path
):
    owner, lost = workshop.enrol("owner"), workshop.enrol("mechanic")
    body = {"device": lost.id, "because": "stolen", "colour": "red"}
    written["entries.txt"] += owner.write_newer("device.revoked", body).line.encode() + b"\n"
    code, printed = run(packed(tmp_path / "job.zip", written))
    assert (code, "1 entry kept, not yet in force" in printed) == (0, True)
    assert "Bring this program up to date" in printed


def test_what_an_instrument_saw_is_taken_in(workshop, run, heard, tmp_path):
    sha256, written = heard
    code, printed = run(packed(tmp_path / "job.zip", written))
    assert (code, "4 entries and 2 photos kept here" in printed) == (0, True)
    assert workshop.store.blobs.has(sha256)


def test_a_changed_line_is_refused_and_the_rest_is_kept(workshop, run, written, tmp_path):
    written["entries.txt"] = written["entries.txt"].replace(b"cover_off", b"cover_own", 1)
    code, printed = run(packed(tmp_path / "job.zip", written))
    assert (code, "[wrong-signature]" in printed) == (1, True)
    (row,) = workshop.store.views.jobs()
    assert row["entries"] == 2


def test_a_photo_that_does_not_hash_to_its_name_is_refused(workshop, run, written, tmp_path):
    sha256 = hashlib.sha256(PICTURE).hexdigest()
    written[f"photos/{sha256}"] = PICTURE[:-1] + b"!"
    code, printed = run(packed(tmp_path / "job.zip", written))
    assert (code, "do not hash to" in printed) == (1, True)
    assert workshop.store.views.kept_size(sha256) is None
    assert workshop.store.uploads.progress(workshop.store.ledger.workshop, sha256) is None


def test_a_photo_that_no_entry_names_is_refused(workshop, run, written, tmp_path):
    stray = hashlib.sha256(b"stray").hexdigest()
    written[f"photos/{stray}"] = b"stray"
    code, printed = run(packed(tmp_path / "job.zip", written))
    assert (code, "no entry of the file names it" in printed) == (1, True)
    assert not workshop.store.blobs.has(stray)


def test_an_erased_photo_does_not_come_back(workshop, run, written, tmp_path):
    sha256 = hashlib.sha256(PICTURE).hexdigest()
    file = packed(tmp_path / "job.zip", written)
    assert run(file)[0] == 0
    erased = {"blob": sha256, "reason": "asked for", "basis": "GDPR 17"}
    workshop.store.ledger.state("blob.erased", erased, workshop.now)
    code, printed = run(file)
    assert (code, "was erased here" in printed) == (1, True)
    assert not workshop.store.blobs.has(sha256)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"two-turns.txt": b"two-turns export 2\n"}, "of another form"),
        ({"entries.txt": None}, "entries.txt is missing"),
        ({"values.txt": b"\xff\xfe\n"}, "not UTF-8"),
    ],
)
def test_another_file_is_refused_as_a_whole(workshop, run, written, tmp_path, change, why):
    members = {name: content for name, content in (written | change).items() if content is not None}
    before = workshop.store.ledger.size()
    code, printed = run(packed(tmp_path / "job.zip", members))
    assert (code, why in printed, "Write it to a file" in printed) == (1, True, True)
    assert workshop.store.ledger.size() == before


def test_a_packed_or_broken_zip_is_refused(workshop, run, written, tmp_path):
    code, printed = run(packed(tmp_path / "packed.zip", written, zipfile.ZIP_DEFLATED))
    assert (code, "is packed" in printed) == (1, True)
    whole = packed(tmp_path / "job.zip", written).read_bytes()
    (tmp_path / "half.zip").write_bytes(whole[: len(whole) // 2])
    code, printed = run(tmp_path / "half.zip")
    assert (code, "no whole zip" in printed) == (1, True)
