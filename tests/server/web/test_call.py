"""A call at the desk and on a phone: seen by both, found by its plate, opened, or declined."""

import io

import pytest

from bags import BagWorkshop
from twoturns.bag.verify import verify
from twoturns.store.summaries import fill
from workshop import clients, opening, private_value, publish_tiny, ref, uuid7

PRIVATE = ("customer", "phone", "plate")


class Calls:
    """A desk and a phone; calls that the desk takes."""

    def __init__(self, workshop, open_client):
        self.workshop = workshop
        self.bundle = publish_tiny(workshop.store)
        self.owner, self.phone = workshop.enrol("owner"), workshop.enrol("mechanic")
        self.desk, self.bay = open_client(self.owner), open_client(self.phone)
        self.values = {
            "customer": private_value("customer", "Mira Oake"),
            "phone": private_value("phone", "+99 55 1234"),
            "plate": private_value("plate", "ÄB 12 Ω"),
        }

    def take(self, **more):
        job = uuid7()
        body = {name: ref(value) for name, value in self.values.items()}
        body |= {"odometer_km": 88_650, "advice": "recover", "due": "overdue", **more}
        said = self.owner.write("enquiry.taken", body, job)
        self.push(said, blobs=tuple(self.values.values()))
        return job, said

    def push(self, *said, blobs=()):
        assert self.workshop.push(*said, blobs=blobs).refused == []

    def open(self, job):
        vin = private_value("vin", "TT1")
        body = opening(vin, self.values["plate"], bundle=self.bundle.sha256)
        body |= {name: ref(self.values[name]) for name in ("customer", "phone")}
        self.push(self.phone.write("job.opened", body, job), blobs=(vin,))

    def decline(self, job, said):
        self.push(self.owner.write("enquiry.declined", {"enquiry": said.id, "how": "call"}, job))

    def row(self):
        (row,) = self.desk.get("/api/jobs").json["jobs"]
        return row

    def told(self, client):
        return [line.split('"kind":"')[1].split('"')[0] for line in self.lines(client)]

    def lines(self, client):
        answer = client.get("/api/log?since=0").json
        return [one["record"] for one in answer["records"] if '"job":null' not in one["record"]]


@pytest.fixture
def calls(workshop, open_client):
    return Calls(workshop, open_client)


def test_a_call_is_a_row_of_its_own_and_no_exception(calls):
    job, _ = calls.take()
    row = calls.row()
    assert (row["job"], row["stage"], row["is_closed"]) == (job, "enquiry", False)
    assert (row["plate"], row["odometer_km"]) == ("ÄB 12 Ω", 88_650)
    assert row["customer"] == ref(calls.values["customer"])["blob"]
    assert row["phone"] == ref(calls.values["phone"])["blob"]
    (line,) = calls.desk.get("/api/desk").json["jobs"]
    assert (line["state"], line["codes"], line["exceptions"]) == ("enquiry", [], 0)


def test_a_call_of_the_desk_comes_to_the_phone_with_its_values(calls):
    calls.take()
    assert calls.told(calls.bay) == ["enquiry.taken"]
    for value in calls.values.values():
        answer = calls.bay.get(f"/api/blobs/{ref(value)['blob']}")
        assert answer.data == value


def test_a_call_of_the_phone_comes_to_the_desk(calls):
    calls.owner, calls.phone = calls.phone, calls.owner
    calls.take()
    assert calls.told(calls.desk) == ["enquiry.taken"]


def test_it_is_found_by_its_plate_before_and_after_it_is_opened(calls):
    job, _ = calls.take()
    for _ in range(2):
        found = calls.desk.post("/api/find", {"plate": "äb-12ω"}).json["jobs"]
        assert [one["job"] for one in found] == [job]
        calls.open(job)
    assert calls.row()["stage"] == "open"


def test_what_only_the_call_said_stays_known(calls):
    job, _ = calls.take()
    vin = private_value("vin", "TT1")
    body = opening(vin, calls.values["plate"], bundle=calls.bundle.sha256)
    calls.push(calls.phone.write("job.opened", body, job), blobs=(vin,))
    row = calls.row()
    assert row["customer"] == ref(calls.values["customer"])["blob"]
    assert row["odometer_km"] == 181_220


def test_a_later_call_of_the_same_job_holds(calls):
    job, _ = calls.take()
    plate = private_value("plate", "B 2")
    calls.push(calls.owner.write("enquiry.taken", {"plate": ref(plate)}, job), blobs=(plate,))
    assert calls.row()["plate"] == "B 2"
    assert calls.desk.post("/api/find", {"plate": "ÄB12Ω"}).json["jobs"] == []


def test_a_declined_call_is_settled_until_the_vehicle_comes_all_the_same(calls):
    job, said = calls.take()
    calls.decline(job, said)
    assert calls.row()["stage"] == "declined"
    (line,) = calls.desk.get("/api/desk").json["jobs"]
    assert line["state"] == "declined"
    other = calls.workshop.enrol("mechanic")
    assert calls.told(clients(calls.workshop)(other)) == []
    calls.phone.heads[job] = calls.owner.heads[job]
    calls.open(job)
    assert calls.row()["stage"] == "open"
    assert calls.told(clients(calls.workshop)(other))[-1] == "job.opened"


def test_a_no_does_not_take_an_open_job_from_anybody(calls):
    job, said = calls.take()
    calls.open(job)
    calls.decline(job, said)
    assert calls.row()["stage"] == "open"
    other = calls.workshop.enrol("mechanic")
    assert len(calls.told(clients(calls.workshop)(other))) == 3


def test_views_that_are_made_anew_say_the_same(calls):
    job, said = calls.take()
    other, _ = calls.take()
    calls.decline(job, said)
    before = calls.desk.get("/api/jobs").json
    calls.workshop.store.rebuild()
    assert calls.desk.get("/api/jobs").json == before
    assert {one["job"]: one["stage"] for one in before["jobs"]} == {
        job: "declined",
        other: "enquiry",
    }


def test_an_auditor_who_may_not_read_names_is_told_no_blob_of_one(calls):
    calls.take()
    auditor = calls.workshop.enrol("auditor", scope={"values": ["plate"]})
    found = clients(calls.workshop)(auditor).post("/api/find", {"plate": "ÄB 12 Ω"}).json["jobs"]
    assert [(one["plate"], one["customer"], one["phone"]) for one in found] == [
        ("ÄB 12 Ω", None, None)
    ]


def test_a_call_alone_has_no_bag(calls):
    job, _ = calls.take()
    answer = calls.desk.get(f"/api/jobs/{job}/bag")
    assert (answer.status_code, answer.json["code"]) == (404, "unknown-job")


def test_the_bag_of_a_job_tells_the_call_it_came_by(tmp_path):
    workshop = BagWorkshop(tmp_path / "data")
    mechanic = workshop.phone("mechanic", "Ada Weir")
    job = uuid7()
    call = {
        "noticed": ["rattle_cold", "sings"],
        "advice": "recover",
        "because": ["stopped_running"],
        "told": ["do_not_crank"],
        "due": "overdue",
        "words": mechanic.private("words", "it rattled for a week"),
    }
    taken = mechanic.write("enquiry.taken", call, job=job)
    mechanic.write("enquiry.declined", {"enquiry": taken.id, "how": "call"}, job=job)
    work = workshop.job(mechanic, job=job)
    work.run(mechanic)
    workshop.deliver(mechanic)
    desk = clients(workshop)(workshop.enrol("owner"))
    answer = desk.get(f"/api/jobs/{work.job}/bag?with=vin,notes")
    verdict = verify(io.BytesIO(answer.data), key=workshop.store.ledger.workshop)
    assert verdict.findings == ()
    report = verdict.report or ""
    for words in ("A call was taken: it rattled for a week", "Rattles when cold", "sings"):
        assert words in report
    assert "Do not crank it again" in report
    assert "The customer does not want the work" in report


def test_an_opening_is_corrected_by_what_a_step_read(calls):
    job, _ = calls.take()
    calls.open(job)
    (opened,) = calls.phone.heads[job]
    because = ref(private_value("words", "a slip"))
    for of, value, stands in (
        ("ab" * 32, "5", 181_220),
        (opened, "5 km", 181_220),
        (opened, "88650", 88_650),
    ):
        body = {"of": of, "value": value, "because": because}
        calls.push(calls.phone.write("reading.corrected", body, job))
        assert calls.row()["odometer_km"] == stands
    calls.workshop.store.rebuild()
    assert calls.row()["odometer_km"] == 88_650


def test_hours_are_the_middle_of_finished_jobs(calls):
    asked = "/api/hours?procedure=" + calls.bundle.bundle["id"]
    assert calls.bay.get(asked).json == {"minutes": None, "jobs": 0}
    for ats in ((0, 30, 60), (0, 45, 600), (0, 20, 40)):
        job = uuid7()
        vin = private_value("vin", "TT1")
        body = opening(vin, calls.values["plate"], bundle=calls.bundle.sha256)
        kinds = [("job.opened", body), ("job.taken", {}), ("job.closed", {"end": "finished"})]
        for (kind, said), minute in zip(kinds, ats, strict=True):
            at = f"2026-11-24T{8 + minute // 60:02}:{minute % 60:02}:00.000Z"
            blobs = (vin, calls.values["plate"]) if kind == "job.opened" else ()
            calls.push(calls.phone.write(kind, said, job, at=at), blobs=blobs)
    fill(calls.workshop.store)
    assert calls.bay.get(asked).json == {"minutes": 45, "jobs": 3}
    minutes_of = calls.workshop.store.views.minutes_of_jobs
    assert minutes_of(calls.bundle.bundle["id"], 1) == [40.0]
