"""The evidence bag over HTTP: the same bag, for the owner and the auditor only."""

import io
import zipfile

import pytest

from bags import BagWorkshop, unpacked
from twoturns.bag import layout
from twoturns.bag.verify import verify
from twoturns.ledger import canonical
from workshop import clients, uuid7


@pytest.fixture
def workshop(tmp_path):
    return BagWorkshop(tmp_path / "data")


@pytest.fixture
def job(workshop):
    mechanic = workshop.phone("mechanic", "Ada Weir")
    work = workshop.job(mechanic)
    work.run(mechanic)
    workshop.deliver(mechanic)
    return work


@pytest.fixture
def ask(workshop):
    open_client = clients(workshop)
    return lambda role, path: open_client(workshop.enrol(role)).get(path)


def test_work_done_for_an_entry_that_is_no_work_takes_no_bag_away(workshop, ask):
    mechanic = workshop.phone("mechanic", "Ada Weir")
    work = workshop.job(mechanic)
    work.run(mechanic)
    begun = work.write(mechanic, "step.begun", {"step": "lock_in"})
    done = {"value": "1", "unit": "1"}
    for extra in (begun.id, "ab" * 32):
        work.write(mechanic, "extra.done", done | {"extra": extra})
    workshop.deliver(mechanic)
    answer = ask("owner", f"/api/jobs/{work.job}/bag")
    assert answer.status_code == 200
    assert verify(io.BytesIO(answer.data), key=workshop.store.ledger.workshop).findings == ()


@pytest.mark.parametrize("role", ["owner", "auditor"])
def test_the_bag_that_leaves_holds(workshop, job, ask, role):
    answer = ask(role, f"/api/jobs/{job.job}/bag")
    assert answer.status_code == 200
    assert answer.mimetype == "application/zip"
    assert "attachment" in answer.headers["Content-Disposition"]
    assert answer.headers["Cache-Control"] == "no-store"
    verdict = verify(io.BytesIO(answer.data), key=workshop.store.ledger.workshop)
    assert verdict.findings == ()
    said = canonical.loads(unpacked(answer.data)[layout.DISCLOSURE])
    assert {one["state"] for one in said} == {"withheld", "copy"}


def test_what_is_asked_for_is_disclosed(job, ask):
    answer = ask("owner", f"/api/jobs/{job.job}/bag?with=vin,notes&originals=1")
    said = canonical.loads(unpacked(answer.data)[layout.DISCLOSURE])
    assert {one["state"] for one in said} == {"disclosed"}


@pytest.mark.parametrize("is_asked", [True, False])
def test_a_photo_that_was_not_asked_for_stays_behind_and_its_bag_says_why(workshop, job, is_asked):
    (photo,) = [one.body["blob"] for one in job.log if one.kind == "photo.taken"]
    asked = {"jobs": [job.job], "photos": [photo] if is_asked else [], "originals": "1"}
    answer = clients(workshop)(workshop.enrol("auditor")).post("/api/bags", asked)
    with zipfile.ZipFile(io.BytesIO(answer.data)) as file:
        (name,) = [one for one in file.namelist() if one.endswith(".zip")]
        bag = file.read(name)
    answer.close()
    assert verify(io.BytesIO(bag), key=workshop.store.ledger.workshop).findings == ()
    said = {one["blob"]: one for one in canonical.loads(unpacked(bag)[layout.DISCLOSURE])}
    assert said[photo]["state"] == ("disclosed" if is_asked else "withheld")
    assert is_asked or said[photo]["reason"].startswith("not asked for")


def test_a_mechanic_finds_no_bag(job, ask):
    assert ask("mechanic", f"/api/jobs/{job.job}/bag").status_code == 404


def test_a_job_that_is_not_there_is_not_found(ask):
    answer = ask("owner", "/api/jobs/00000000-0000-7000-8000-00000000dead/bag")
    assert (answer.status_code, answer.json["code"]) == (404, "not-found")


def test_an_unknown_wish_is_refused_by_name(job, ask):
    answer = ask("owner", f"/api/jobs/{job.job}/bag?with=everything")
    assert (answer.status_code, answer.json["where"]) == (422, "with")


def test_a_blob_that_differs_is_a_refusal_and_not_half_a_bag(workshop, job, ask):
    plate = workshop.store.blobs.path(job.log[0].body["plate"]["blob"])
    plate.write_bytes(plate.read_bytes().replace(b"WEIR", b"WIER"))
    answer = ask("owner", f"/api/jobs/{job.job}/bag?with=vin")
    assert (answer.status_code, answer.json["code"]) == (409, "blob-damaged")
    assert f"the private value plate, job {job.job}" in answer.json["message"]


def test_a_job_under_something_that_is_no_procedure_has_no_bag(workshop, ask):
    mechanic = workshop.phone("mechanic", "Ada Weir")
    vin, plate = mechanic.private("vin", "TT1"), mechanic.private("plate", "W1")
    body = {"bundle": vin["blob"], "vin": vin, "plate": plate, "odometer_km": 1, "bay": "2"}
    job = uuid7()
    mechanic.write("job.opened", {**body, "engine_code": "QV-2.0"}, job=job)
    workshop.deliver(mechanic)
    answer = ask("owner", f"/api/jobs/{job}/bag")
    assert (answer.status_code, answer.json["code"]) == (409, "bundle-missing")
