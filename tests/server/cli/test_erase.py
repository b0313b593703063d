"""The commands for erasing, as an owner at the workshop's computer uses them."""

import pytest
from click.testing import CliRunner

from twoturns.cli import main
from workshop import Workshop, private_value, ref

WHY = ("--reason", "the customer asked", "--basis", "GDPR 17(1)(b)")


@pytest.fixture
def run(workshop):
    def invoke(*words: str) -> tuple[int, str]:
        answer = CliRunner().invoke(main, [*words, "--data", str(workshop.folder)])
        return answer.exit_code, answer.stdout + answer.stderr

    return invoke


def job_of(workshop: Workshop, photo: str) -> tuple[str, list[str]]:
    """Open a job with a VIN, a plate, a note and a photo; return it and its private values."""
    phone = workshop.enrol("mechanic")
    job = workshop.open_job(phone)
    words = private_value("words", "as the customer said")
    shot = {"step": "a", "name": "b", "type": "image/jpeg", "width": 1, "height": 1, "how": "live"}
    said = [
        phone.write("note.added", {"text": ref(words)}, job),
        phone.write("photo.taken", {**shot, "blob": photo, "size": 9}, job),
    ]
    assert workshop.push(*said, blobs=(words,)).refused == []
    (opened, *_) = workshop.store.ledger.job_entries(job)
    body = opened[1].entry.body
    return job, [body["vin"]["blob"], body["plate"]["blob"], ref(words)["blob"]]


@pytest.fixture
def photo(workshop) -> str:
    blob = workshop.store.blobs.put(b"\xff\xd8 a photo")
    workshop.store.ledger.keep([blob], workshop.now)
    return blob


@pytest.mark.parametrize("with_photos", [False, True])
def test_a_job_is_ordered_erased_and_carried_out_at_once(workshop, run, photo, with_photos):
    job, values = job_of(workshop, photo)
    code, printed = run("erase", "job", job, *WHY, *(["--photos"] if with_photos else []))
    assert (code, "hidden from all but owners" in printed) == (0, True)
    order = printed.split()[0]
    blobs = workshop.store.blobs
    assert all(blobs.has(blob) for blob in values)
    assert "waits" in run("erase", "list")[1]
    assert run("erase", "run")[1].startswith("0 blobs erased")
    code, printed = run("erase", "now", order[:8], "--because", "the court's order")
    assert (code, printed.split()[0]) == (0, "4" if with_photos else "3")
    assert [blobs.has(blob) for blob in values] == [False] * 3
    assert blobs.has(photo) is not with_photos
    assert "carried-out" in run("erase", "list")[1]
    assert run("erase", "job", job, *WHY)[0] == 1  # nothing of it is left


def test_an_order_is_withdrawn_by_the_start_of_its_id(workshop, run, photo):
    job, values = job_of(workshop, photo)
    order = run("erase", "job", job, *WHY)[1].split()[0]
    assert run("erase", "withdraw", order[:8], "--because", "a mistake")[0] == 0
    code, printed = run("erase", "now", order[:8], "--because", "now")
    assert (code, "nothing starts with" in printed) == (1, True)
    assert all(workshop.store.blobs.has(blob) for blob in values)


def test_a_persons_name_is_erased_in_every_spelling(workshop, run):
    phone = workshop.enrol("mechanic")
    for name in ("Ada Weir", "Ada Weir-Cogwell"):
        workshop.store.name_person(phone.person, name, workshop.now)
    code, printed = run("erase", "person", phone.person, *WHY)
    assert (code, "2 values" in printed) == (0, True)
    assert run("erase", "person", workshop.enrol("owner").person, *WHY)[0] == 1


def test_a_rule_says_from_when_it_holds(run):
    code, printed = run("erase", "rule", "--days", "14", "--most", "200")
    assert (code, "after 14 days, 200 blobs a day" in printed) == (0, True)
    listed = run("erase", "list")[1]
    assert "Rule: after 7 days, 500 blobs a day." in listed
    assert "14 days, 200 blobs" in listed
    assert run("erase", "rule", "--days", "29", "--most", "200")[0] == 2


def test_one_damaged_photo_that_nobody_has_any_more_is_erased_alone(workshop, run, photo):
    job_of(workshop, photo)
    code, said = run("erase", "lost", photo, *WHY)
    assert (code, "is whole" in said) == (1, True)
    workshop.store.blobs.path(photo).write_bytes(b"other")
    code, said = run("erase", "lost", photo, *WHY)
    assert code == 0, said
    assert "the photo 'b' of step a" in said
    (order,) = workshop.store.erasing.orders()
    assert workshop.store.views.is_hidden(photo)
    assert run("erase", "now", order.row["id"][:12], "--because", "lost")[0] == 0
    assert workshop.store.views.is_erased(photo)
    assert not workshop.store.blobs.has(photo)


@pytest.mark.parametrize("blob", ["ab" * 32, "../../etc", ""])
def test_what_is_not_kept_here_cannot_be_lost(run, blob):
    code, said = run("erase", "lost", blob, *WHY)
    assert (code, "is kept here" in said) == (1, True)
