"""Who sees what: every route for every role, and nothing of a job that is not theirs."""

from datetime import timedelta

import pytest

from twoturns.ledger import private
from twoturns.ledger.record import parse
from twoturns.store.draft import Draft
from twoturns.store.drafts import NEW
from workshop import Phone, opening, private_value, uuid7

WHO = ("nobody", "revoked", "mechanic", "auditor", "owner")
# Route -> the roles that get in; all others get 401 (nobody, revoked) or 404.
ALL = {"mechanic", "auditor", "owner"}
ROUTES = {
    "/api/log": ALL,
    "/api/jobs/JOB/log": ALL,
    "/api/bundles": ALL,
    "/api/checkpoint": ALL,
    "/api/consistency?from=1&to=2": {*WHO},
    "/api/inclusion?index=0&size=1": ALL,
    "/api/blobs/VIN": ALL,
    "/api/find": {"auditor", "owner"},
    "/api/desk": {"owner"},
    "/api/jobs": {"owner"},
    "/api/offers": {"owner"},
    "/api/drafts": {"owner"},
    "/api/drafts/tiny": {"owner"},
    "/api/drafts/tiny/zip": {"owner"},
    "/api/drafts/tiny/check": {"owner"},
    "/api/drafts/tiny/pictures/a.jpg": {"owner"},
    "/api/erasures": {"owner"},
    "/api/findings": {"auditor", "owner"},
    "/api/held": {"owner"},
    "/api/held/REVOKED": {"owner"},
    "/api/workshop": {*WHO},
    # A revoked phone must know whose receipts it gets; and who may be sent to is on paper.
    "/api/keys": {*WHO},
    "/api/openapi.json": {*WHO},
    # A phone that comes home revoked may still bring its photos, and learn that they are kept.
    "/api/blobs/VIN/receipt": {"revoked", *ALL},
}


def read(client, route: str):
    return client.post(route, {"lot": "L1"}) if route == "/api/find" else client.get(route)


@pytest.fixture
def cast(workshop, open_client):
    """Return a client of each role, and a job's names in the routes."""
    mechanic, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    vin, plate, job = private_value("vin", "TT1"), private_value("plate", "W1"), uuid7()
    workshop.push(mechanic.write("job.opened", opening(vin, plate), job), blobs=(vin, plate))
    revoked = workshop.enrol("owner")
    clients = {
        "nobody": open_client(),
        "revoked": open_client(revoked),
        "mechanic": open_client(mechanic),
        "auditor": open_client(workshop.enrol("auditor")),
        "owner": open_client(owner),
    }
    workshop.store.drafts.put("tiny", Draft("id: tiny\n", {"a.jpg": b"picture"}), NEW)
    workshop.push(owner.write("device.revoked", {"device": revoked.id, "because": "left"}))
    return clients, {"JOB": job, "VIN": private.blob_id(vin), "REVOKED": revoked.id}


@pytest.mark.parametrize("who", WHO)
def test_every_route_lets_in_those_it_is_for(cast, who):
    clients, names = cast
    for pattern, roles in ROUTES.items():
        route = pattern
        for name, value in names.items():
            route = route.replace(name, value)
        expected = 200 if who in roles else 401 if who in ("nobody", "revoked") else 404
        assert read(clients[who], route).status_code == expected, (who, route)


def test_the_table_above_has_every_route_that_reads(cast):
    clients, _ = cast
    app = clients["owner"].app
    named = {route.partition("?")[0] for route in ROUTES}
    for rule in app.url_map.iter_rules():
        if "GET" in rule.methods and rule.rule.startswith("/api"):
            shown = rule.rule.replace("<job:job>", "JOB").replace("<sha256:sha256>", "VIN")
            shown = shown.replace("<device:device>", "REVOKED").replace("<draft:draft>", "tiny")
            shown = shown.replace("<picture:picture>", "a.jpg")
            bag = shown == "/api/jobs/JOB/bag"  # tested with the bag
            of_bundles = {"/api/bundles/VIN", "/api/bundles/VIN/weight"}  # tested with bundles
            of_drafts = {"/api/drafts/tiny/changes"}  # tested with drafts
            assert bag or shown in named | of_bundles | of_drafts, shown


def test_nobody_writes_without_a_session(workshop, open_client):
    phone = workshop.enrol("owner")
    answer = open_client().push(phone.write("job.taken", {}, uuid7()))
    assert (answer.status_code, answer.json["code"]) == (401, "not-signed-in")
    assert workshop.store.ledger.size() == 3


def test_a_mechanic_sees_open_jobs_and_its_own_of_30_days(workshop, open_client):
    one, other = workshop.enrol("mechanic"), workshop.enrol("mechanic")
    job = workshop.open_job(one)
    mine, theirs = open_client(one), open_client(other)
    path = f"/api/jobs/{job}/log"
    assert theirs.get(path).status_code == 200
    workshop.push(one.write("job.closed", {"end": "finished"}, job))
    assert mine.get(path).status_code == 200
    assert theirs.get(path).status_code == 404
    jobs = [row for row in theirs.get("/api/log").json["records"] if job in row["record"]]
    assert jobs == []

    workshop.now += timedelta(days=29)
    mine.sign_in(one)
    assert mine.get(path).status_code == 200
    workshop.now += timedelta(days=2)
    mine.sign_in(one)
    assert mine.get(path).status_code == 404


def push_by(client, *said):
    answer = client.push(*said)
    assert answer.json["refused"] == []
    return answer


@pytest.mark.parametrize(
    "kind", ["note.added", "job.taken", "job.opened", "job.closed", "step.begun"]
)
def test_writing_into_a_closed_job_gives_no_sight_of_it(workshop, open_client, kind):
    """Reproduced: one `note.added` that named an old job showed its photo, VIN and whole log."""
    one, other = workshop.enrol("mechanic"), workshop.enrol("mechanic")
    vin, plate, job = private_value("vin", "TT1"), private_value("plate", "W1"), uuid7()
    workshop.push(one.write("job.opened", opening(vin, plate), job), blobs=(vin, plate))
    workshop.push(one.write("job.closed", {"end": "finished"}, job))
    theirs, words = open_client(other), private_value("words", "seen")
    bodies = {
        "note.added": {"text": {"blob": private.blob_id(words)}},
        "job.taken": {},
        "job.opened": opening(vin, plate),
        "job.closed": {"end": "finished"},
        "step.begun": {"step": "a"},
    }
    said = other.write(kind, bodies[kind], job)
    answer = push_by(theirs, said)
    assert said.id in answer.json["indices"]  # it is evidence all the same
    again = other.write("job.taken", {}, job, seq=said.seq)  # nor does a fork open it again
    push_by(theirs, again)
    for path in (f"/api/jobs/{job}/log", f"/api/blobs/{private.blob_id(vin)}"):
        assert theirs.get(path).status_code == 404
        assert open_client(one).get(path).status_code == 200
    ids = [parse(row["record"]).entry.job for row in theirs.get("/api/log").json["records"]]
    assert job not in ids
    workshop.store.rebuild()
    assert theirs.get(f"/api/jobs/{job}/log").status_code == 404


def test_who_worked_on_a_job_sees_it_for_30_days_and_again_when_the_owner_asks(
    workshop, open_client
):
    one, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    job = workshop.open_job(one)
    workshop.push(one.write("job.closed", {"end": "finished"}, job))
    path, words = f"/api/jobs/{job}/log", {"blob": "ab" * 32}
    workshop.now += timedelta(days=29)
    push_by(open_client(one), one.write("note.added", {"text": words}, job))
    push_by(open_client(one), one.write("job.closed", {"end": "finished"}, job))
    workshop.now += timedelta(days=2)
    assert open_client(one).get(path).status_code == 404  # its own writing does not prolong it
    workshop.push(owner.write("review.returned", {"step": "a", "question": words}, job))
    assert open_client(one).get(path).status_code == 200


def closed_by_a_stranger(workshop):
    """Return who opened a job, who had not written in it yet, who closed it, and the job."""
    one, other, stranger = (workshop.enrol("mechanic") for _ in range(3))
    job = workshop.open_job(one)
    workshop.push(stranger.write("job.closed", {"end": "finished"}, job))
    return one, other, stranger, job


def sees(open_client, phone, job):
    return open_client(phone).get(f"/api/jobs/{job}/log").status_code == 200


def test_who_closes_the_jobs_of_others_does_not_take_them_from_them_for_good(workshop, open_client):
    """Reproduced: one phone closed all open jobs, and nothing opened them to the others again."""
    one, other, stranger, job = closed_by_a_stranger(workshop)
    owner, begun = workshop.enrol("owner"), {"step": "a"}
    assert not sees(open_client, other, job)
    workshop.push(one.write("step.begun", begun, job))
    assert sees(open_client, other, job)
    workshop.push(stranger.write("job.closed", {"end": "finished"}, job))
    assert not sees(open_client, other, job)
    words = {"blob": "ab" * 32}
    workshop.push(owner.write("review.returned", {"step": "a", "question": words}, job))
    assert sees(open_client, other, job)
    workshop.push(other.write("step.begun", begun, job))  # it worked on it now
    workshop.push(one.write("job.closed", {"end": "finished"}, job))
    assert sees(open_client, other, job)
    assert not sees(open_client, workshop.enrol("mechanic"), job)
    workshop.store.rebuild()
    assert sees(open_client, other, job)
    assert not sees(open_client, workshop.enrol("mechanic"), job)


def test_only_a_step_of_somebody_who_sees_it_opens_a_closed_job(workshop, open_client):
    one, other, _, job = closed_by_a_stranger(workshop)
    words, begun = {"text": {"blob": "ab" * 32}}, {"step": "a"}
    gap = {"after": ["cd" * 32]}
    for said in (
        other.write("step.begun", begun, job),  # it does not see it
        one.write("note.added", words, job),
        one.write("step.begun", begun, job, **gap),
        other.write("review.returned", {"step": "a", "question": words["text"]}, job),
    ):
        workshop.push(said)
        assert not sees(open_client, other, job)
    workshop.now += timedelta(days=31)
    workshop.push(one.write("step.begun", begun, job))
    assert not sees(open_client, other, job)  # nor does one who saw it once
    assert not sees(open_client, one, job)
    workshop.store.rebuild()
    assert not sees(open_client, other, job)


def test_a_fork_of_a_closing_ends_no_job_that_went_on(workshop, open_client):
    one, other, stranger, job = closed_by_a_stranger(workshop)
    workshop.push(one.write("step.begun", {"step": "a"}, job))
    workshop.push(stranger.write("job.taken", {}, uuid7(), seq=stranger.seq))
    assert sees(open_client, other, job)


def test_a_fork_of_its_closing_does_not_open_a_job_again(workshop, open_client):
    one, other = workshop.enrol("mechanic"), workshop.enrol("mechanic")
    job = workshop.open_job(one)
    workshop.push(one.write("job.closed", {"end": "finished"}, job))
    workshop.push(one.write("job.taken", {}, job, seq=one.seq))
    assert open_client(other).get(f"/api/jobs/{job}/log").status_code == 404


def test_a_second_phone_of_a_person_sees_what_the_person_worked_on(workshop, open_client):
    one = workshop.enrol("mechanic")
    job = workshop.open_job(one)
    workshop.push(one.write("job.closed", {"end": "finished"}, job))
    second = workshop.enrol("mechanic", person=one.person)
    assert open_client(second).get(f"/api/jobs/{job}/log").status_code == 200


def test_a_blob_is_seen_with_the_job_that_names_it(workshop, open_client):
    one, other = workshop.enrol("mechanic"), workshop.enrol("mechanic")
    vin, plate, job = private_value("vin", "TT1"), private_value("plate", "W1"), uuid7()
    said = one.write("job.opened", opening(vin, plate), job)
    theirs = open_client(other)
    path = f"/api/blobs/{private.blob_id(vin)}"
    workshop.push(blobs=(vin, plate))
    assert theirs.get(path).status_code == 404  # kept, and nothing it sees speaks of it
    workshop.push(said)
    assert theirs.get(path).data == vin
    workshop.push(one.write("job.closed", {"end": "stopped"}, job))
    assert theirs.get(path).status_code == 404
    assert open_client(workshop.enrol("auditor")).get(path).data == vin


def test_naming_the_blob_of_a_job_out_of_sight_does_not_show_it(workshop, open_client):
    one, other = workshop.enrol("mechanic"), workshop.enrol("mechanic")
    vin, plate, job = private_value("vin", "TT1"), private_value("plate", "W1"), uuid7()
    workshop.push(one.write("job.opened", opening(vin, plate), job), blobs=(vin, plate))
    workshop.push(one.write("job.closed", {"end": "stopped"}, job))
    theirs, blob = open_client(other), private.blob_id(vin)
    # Every device is told the hashes of all blobs.
    assert blob in theirs.get("/api/log").text
    size = {"size": 1, "type": "image/jpeg", "width": 0, "height": 0}
    said = {"step": "a", "name": "b", "how": "live", **size}
    mine = workshop.open_job(other)
    workshop.push(other.write("photo.taken", {**said, "blob": blob}, mine))
    workshop.push(other.write("job.opened", opening(vin, plate, bundle=blob), uuid7()))
    assert theirs.get(f"/api/blobs/{blob}").status_code == 404
    workshop.store.rebuild()
    assert theirs.get(f"/api/blobs/{blob}").status_code == 404
    assert open_client(one).get(f"/api/blobs/{blob}").data == vin


def test_an_invitation_that_is_over_lets_nobody_in_among_entries(workshop, open_client):
    mechanic, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    invitation, secret, person = workshop.invite("owner", hours=1)
    workshop.now += timedelta(hours=2)
    finder = Phone(mechanic.workshop, person, "owner")
    line = workshop.enrolment(finder, invitation, secret)
    answer = open_client(mechanic).push(line).json
    assert [one["code"] for one in answer["refused"]] == ["invitation-over"]
    assert workshop.store.views.device(finder.id) is None
    # After a restore an owner's device brings the enrolments of the others back.
    assert open_client(owner).push(line).json["refused"] == []
    assert workshop.store.views.device(finder.id).role == "owner"


def test_two_workshops_know_nothing_of_each_other(workshop, open_client, tmp_path):
    from workshop import Workshop, clients

    elsewhere = Workshop(tmp_path / "elsewhere")
    stranger = elsewhere.enrol("owner")
    client = open_client()
    assert client.post("/api/session/nonce", {"device": stranger.id}).status_code == 401
    at_home = clients(elsewhere)(stranger)
    client.headers = at_home.headers  # a session of the other workshop
    assert client.get("/api/log").status_code == 401
    said = stranger.write("job.taken", {}, uuid7())
    ours = open_client(workshop.enrol("mechanic"))
    (refused,) = ours.push(said).json["refused"]
    assert refused["code"] == "foreign-workshop"
    job = elsewhere.open_job(stranger)
    assert ours.get(f"/api/jobs/{job}/log").status_code == 404


@pytest.mark.parametrize("name", ["0" * 63, "0" * 65, "A" * 64, "..%2f" * 12, "%00" * 64])
def test_no_other_name_becomes_a_file(workshop, open_client, name):
    client = open_client(workshop.enrol("owner"))
    for path in (f"/api/blobs/{name}", f"/api/bundles/{name}"):
        assert client.get(path).status_code == 404


def test_reading_changes_nothing(cast, workshop):
    clients, names = cast
    before = list(workshop.store.database.connection().conn.iterdump())
    for pattern in ROUTES:
        if pattern != "/api/desk":  # it keeps what it folded
            route = pattern
            for name, value in names.items():
                route = route.replace(name, value)
            read(clients["owner"], route)
    assert list(workshop.store.database.connection().conn.iterdump()) == before
