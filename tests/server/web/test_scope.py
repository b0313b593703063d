"""An auditor sees what the invitation's scope names, all else is not found; then it ends."""

from datetime import timedelta

import pytest

from twoturns.bag.contents import roster_of
from twoturns.ledger import private
from twoturns.ledger.record import parse
from twoturns.ledger.standing import standings
from twoturns.store import as_text
from twoturns.store.gather import gather
from workshop import opening, private_value, publish_tiny, ref, uuid7

pytestmark = pytest.mark.both_ledgers


class Scene:
    """Two jobs, a week apart, with a VIN, a plate and a note each."""

    def __init__(self, workshop):
        self.workshop, self.phone = workshop, workshop.enrol("mechanic")
        self.name = private_value("name", "Ada Weir")
        bundle = publish_tiny(workshop.store, workshop.now)
        named = {"person": self.phone.person, "name": ref(self.name)}
        workshop.push(blobs=(self.name,))
        workshop.store.ledger.state("person.named", named, workshop.now)
        self.jobs, self.values = [], []
        for number in (1, 2):
            made = {
                field: private_value(field, f"{field.upper()} {number}")
                for field in ("vin", "plate", "words")
            }
            job = uuid7()
            said = opening(made["vin"], made["plate"], bundle=bundle.sha256)
            note = self.phone.write("job.opened", said, job)
            text = self.phone.write("note.added", {"text": ref(made["words"])}, job)
            workshop.push(note, text, blobs=tuple(made.values()))
            self.jobs.append(job)
            self.values.append({field: private.blob_id(data) for field, data in made.items()})
            workshop.now += timedelta(days=7)

    def day(self, number: int) -> str:
        return f"{self.workshop.now - timedelta(days=7 * (3 - number)):%Y-%m-%d}"

    def auditor(self, open_client, **scope):
        return open_client(self.workshop.enrol("auditor", scope=scope))


@pytest.fixture
def scene(workshop):
    return Scene(workshop)


def find(client, **what):
    return client.post("/api/find", what)


def seen(client, scene) -> list[bool]:
    """Say which of the two jobs a client sees; every way of asking must say the same."""
    records = [parse(one["record"]).entry for one in client.get("/api/log").json["records"]]
    found = []
    for number, (job, values) in enumerate(zip(scene.jobs, scene.values, strict=True), 1):
        ways = {
            job in [one.job for one in records],
            client.get(f"/api/jobs/{job}/log").status_code == 200,
            client.get(f"/api/blobs/{values['words']}").status_code == 200,
            client.get(f"/api/jobs/{job}/bag").status_code == 200,
            job in [row["job"] for row in find(client, vin=f"VIN {number}").json["jobs"]],
        }
        (way,) = ways
        found.append(way)
    return found


def test_without_a_scope_an_auditor_sees_all(scene, workshop, open_client):
    assert seen(open_client(workshop.enrol("auditor")), scene) == [True, True]


def test_of_the_jobs_named_and_no_other(scene, open_client):
    client = scene.auditor(open_client, jobs=[scene.jobs[1]])
    assert seen(client, scene) == [False, True]
    kinds = [parse(one["record"]).entry.kind for one in client.get("/api/log").json["records"]]
    assert "device.enrolled" in kinds  # what one needs to check keys by


def test_of_the_days_named_and_no_other(scene, open_client):
    first = scene.day(1)
    assert seen(scene.auditor(open_client, days=[first, first]), scene) == [True, False]
    both = [scene.day(1), scene.day(2)]
    assert seen(scene.auditor(open_client, days=both), scene) == [True, True]
    assert seen(scene.auditor(open_client, days=both, jobs=scene.jobs[:1]), scene) == [True, False]


def test_of_the_private_values_named_and_no_other(scene, open_client):
    client, values, job = (
        scene.auditor(open_client, values=["plate"]),
        scene.values[0],
        scene.jobs[0],
    )
    status = {field: client.get(f"/api/blobs/{blob}").status_code for field, blob in values.items()}
    assert status == {"plate": 200, "vin": 404, "words": 404}
    assert client.get(f"/api/blobs/{private.blob_id(scene.name)}").status_code == 404
    assert find(client, vin="VIN 1").status_code == 404
    (row,) = find(client, plate="PLATE 1").json["jobs"]
    assert (row["plate"], row["vin"]) == ("PLATE 1", None)
    for groups, expected in (("", 200), ("?with=vin", 404), ("?with=notes", 404)):
        assert client.get(f"/api/jobs/{job}/bag{groups}").status_code == expected


def test_a_place_behind_which_a_page_begins_says_nothing_of_other_jobs(
    scene, workshop, open_client
):
    first, second = scene.jobs
    client = scene.auditor(open_client, jobs=[first])
    for after in (second, uuid7()):
        assert find(client, plate="PLATE 1", after=after).json["jobs"] == []
    owner = open_client(workshop.enrol("owner"))
    assert len(find(owner, plate="PLATE 1", after=second).json["jobs"]) == 1


def test_after_its_end_there_is_nothing(scene, workshop, open_client):
    end = workshop.now + timedelta(hours=1)
    client = scene.auditor(open_client, end=as_text(end))
    assert seen(client, scene) == [True, True]
    workshop.now = end
    asked = ["/api/log", f"/api/jobs/{scene.jobs[0]}/log", "/api/checkpoint", "/api/bundles"]
    asked += [f"/api/blobs/{scene.values[0]['vin']}", f"/api/jobs/{scene.jobs[0]}/bag"]
    for path in asked:
        answer = client.get(path)
        assert (answer.status_code, answer.json["code"]) == (403, "access-over"), path
    workshop.store.rebuild()
    assert find(client, vin="VIN 1").json["code"] == "access-over"


def test_a_scope_limits_nobody_but_an_auditor(scene, workshop, open_client):
    owner = open_client(workshop.enrol("owner", scope={"jobs": [uuid7()]}))
    assert seen(owner, scene) == [True, True]


def test_who_is_served_on_a_phone_sees_there_what_they_worked_on(workshop, open_client):
    bay, own = workshop.enrol("mechanic"), workshop.enrol("mechanic")
    job = workshop.open_job(own)
    workshop.push(own.write("job.closed", {"end": "finished"}, job))
    path = f"/api/jobs/{job}/log"
    assert open_client(bay).get(path).status_code == 404
    served = {"device": bay.id, "persons": [own.person]}
    workshop.store.ledger.state("device.serves", served, workshop.now)
    assert open_client(bay).get(path).status_code == 200
    other = workshop.open_job(bay)
    said = bay.write("job.closed", {"end": "finished"}, other, person=own.person)
    assert open_client(bay).push(said).json["refused"] == []
    assert open_client(own).get(f"/api/jobs/{other}/log").status_code == 200
    workshop.store.ledger.state("device.serves", {**served, "persons": []}, workshop.now)
    assert open_client(bay).get(path).status_code == 404


def test_a_bag_judges_persons_as_the_workshop_does(scene, workshop):
    job, owner, other = scene.jobs[0], workshop.enrol("owner"), workshop.enrol("mechanic")
    served = {"device": scene.phone.id, "persons": [owner.person, other.person]}
    workshop.store.ledger.state("device.serves", served, workshop.now)
    said = [
        scene.phone.write("job.taken", {}, job, person=person)
        for person in (other.person, owner.person, uuid7())
    ]
    workshop.push(*said)
    held = {
        record.entry.id: standing for _, record, standing in workshop.store.ledger.job_entries(job)
    }
    bag = gather(workshop.store, job, groups=(), originals=False, made_on="2026-11-24")
    roster = roster_of(bag.workshop, bag.records)
    judged = standings([(index, one.entry) for index, one in bag.records], roster)
    expected = ["good", "doubted", "doubted"]
    assert [held[one.id] for one in said] == [judged[one.id] for one in said] == expected


def refusals(answer) -> list[str]:
    return [one["code"] for one in answer.json["refused"]]


def test_an_auditor_writes_into_the_jobs_it_sees_and_no_other(scene, workshop, open_client):
    text = {"text": ref(private_value("words", "seen"))}
    phone = workshop.enrol("auditor", scope={"jobs": scene.jobs[:1]})
    said = [phone.write("note.added", text, job) for job in (*scene.jobs, uuid7())]
    said.append(phone.write_newer("zz.zz", {}, scene.jobs[1]))
    answer = open_client(phone).push(*said)
    assert refusals(answer) == ["not-found"] * 3
    assert [one["line"] for one in answer.json["refused"]] == [1, 2, 3]
    assert answer.json["indices"].keys() == {said[0].id}
    assert {row["job"] for row in workshop.store.views.jobs()} == set(scene.jobs)
    # What was lost with the disk an owner's device brings back, and the console.
    assert refusals(open_client(workshop.enrol("owner")).push(said[1])) == []


def test_one_without_a_scope_begins_no_job(scene, workshop, open_client):
    phone = workshop.enrol("auditor")
    said = [phone.write_newer("zz.zz", {}, job) for job in (scene.jobs[0], uuid7())]
    assert refusals(open_client(phone).push(*said)) == ["not-found"]


def test_after_its_end_nothing_is_taken_but_what_is_here(scene, workshop, open_client):
    phone = workshop.enrol("auditor", scope={"end": as_text(workshop.now + timedelta(hours=1))})
    before, late, said = (
        phone.write_newer("zz.zz", {}, job) for job in (scene.jobs[0], scene.jobs[0], None)
    )
    client = open_client(phone)
    assert refusals(client.push(before)) == []
    workshop.now += timedelta(hours=1)
    answer = client.push(before, late, said)
    assert refusals(answer) == ["access-over"] * 2
    assert answer.json["indices"].keys() == {before.id}
    assert answer.json["refused"][0]["hint"]
