"""Who sees what: every route for every role, and nothing of a job that is not theirs."""

from datetime import timedelta

import pytest

from twoturns.ledger import private
from twoturns.ledger.record import parse
from twoturns.store.draft import Draft
from twoturns.store.drafts import NEW
from workshop import Phone, all_rows, opening, private_value, ref, uuid7

WORDS = private_value("words", "The bleed screw again, please.")

WHO = ("nobody", "revoked", "mechanic", "auditor", "owner")
# Route -> the roles that get in; all others get 401 (nobody, revoked) or 404.
ALL = {"mechanic", "auditor", "owner"}
ROUTES = {
    "/api/log": ALL,
    "/api/jobs/JOB/log": ALL,
    "/api/jobs/JOB/notices": {"auditor", "owner"},
    "/api/bundles": ALL,
    "/api/checkpoint": ALL,
    "/api/consistency?from=1&to=2": {*WHO},
    "/api/inclusion?index=0&size=1": ALL,
    "/api/blobs/VIN": ALL,
    "/api/find": {"auditor", "owner"},
    "/api/lots": {"auditor", "owner"},
    "/api/photos": {"auditor", "owner"},
    "/api/desk": {"owner"},
    "/api/jobs": {"owner"},
    "/api/today?since=2026-01-01T00:00:00.000Z": {"owner"},
    "/api/due": {"owner"},
    "/api/figures": {"owner"},
    "/api/devices": {"owner"},
    "/api/offers": {"owner"},
    "/api/hours?procedure=hayfork": {"owner", "mechanic"},
    "/api/blocks": {"owner"},
    "/api/drafts": {"owner"},
    "/api/drafts/tiny": {"owner"},
    "/api/drafts/tiny/zip": {"owner"},
    "/api/drafts/tiny/check": {"owner"},
    "/api/drafts/tiny/pictures/a.jpg": {"owner"},
    "/api/erasures": {"owner"},
    "/api/findings": {"auditor", "owner"},
    "/api/follow-ups/RECALL": {"owner"},
    "/api/held": {"owner"},
    "/api/held/REVOKED": {"owner"},
    "/api/workshop": {*WHO},
    "/api/health": {*WHO},
    "/api/retention": {"owner"},
    # A revoked phone must know whose receipts it gets; and who may be sent to is on paper.
    "/api/keys": {*WHO},
    "/api/openapi.json": {*WHO},
    # A phone that comes home revoked may still bring its photos, and learn that they are kept.
    "/api/blobs/VIN/receipt": {"revoked", *ALL},
}


def read(client, route: str):
    questions = {"/api/find": {"lot": "L1"}, "/api/photos": {}}
    return client.post(route, questions[route]) if route in questions else client.get(route)


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
    recall = owner.write("lot.recalled", {"lot": "L1", "because": "teeth"})
    workshop.push(recall)
    named = {"JOB": job, "VIN": private.blob_id(vin), "REVOKED": revoked.id}
    return clients, {**named, "RECALL": recall.id}


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
            shown = shown.replace("<picture:picture>", "a.jpg").replace("<sha256:of>", "RECALL")
            bag = shown == "/api/jobs/JOB/bag"  # tested with the bag
            of_bundles = {"/api/bundles/VIN", "/api/bundles/VIN/weight"}  # tested with bundles
            of_drafts = {"/api/drafts/tiny/changes"}  # tested with drafts
            of_customers = {
                "/api/page",
                "/api/page/photos/VIN",
                "/api/page/bag",
            }  # tested with the customer's page
            assert bag or shown in named | of_bundles | of_drafts | of_customers, shown


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


VALUES = (("vin", "TT000000000000001"), ("plate", "WEIR 12"))


def told(client, since: int, held: int) -> tuple[list[tuple[str | None, str]], int]:
    """Return what a desk's device is told unasked, as job and kind, and where it goes on."""
    found: list[tuple[str | None, str]] = []
    while True:
        page = client.get(f"/api/log?since={since}&most=2&held={held}").json
        entries = [parse(one["record"]).entry for one in page["records"]]
        found += [(entry.job, entry.kind) for entry in entries]
        since = page["next"]
        if not page["more"]:
            return found, since


def test_an_owners_desk_is_told_of_open_jobs_and_asks_for_the_others(workshop, open_client):
    phone, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    closed, still_open = workshop.open_job(phone), workshop.open_job(phone)
    workshop.push(phone.write("job.closed", {"end": "finished"}, closed))
    client = open_client(owner)
    said, at = told(client, 0, 0)
    assert {job for job, _ in said if job} == {still_open}
    stated = {kind for job, kind in said if job is None}
    assert "device.enrolled" in stated
    assert "blob.kept" not in stated
    assert client.get(f"/api/jobs/{closed}/log").json["records"] != []
    whole = client.get("/api/log").json["records"]  # as an app of before asks
    assert {closed, still_open} <= {parse(one["record"]).entry.job for one in whole}

    # What it was told of as open it is told the end of; of what came and went since, nothing.
    between = workshop.open_job(phone)
    workshop.push(
        phone.write("step.begun", {"step": "belt_off"}, still_open),
        phone.write("job.closed", {"end": "finished"}, still_open),
        phone.write("job.closed", {"end": "finished"}, between),
    )
    said, after = told(client, at, at)
    assert said == [(still_open, "step.begun"), (still_open, "job.closed")]
    # And once more what goes on after the owner handed it back.
    workshop.push(
        owner.write("review.returned", {"step": "belt_off", "question": ref(WORDS)}, still_open)
    )
    assert ({job for job, _ in told(client, after, after)[0]}) == {still_open}


def test_a_desk_is_told_of_an_end_though_the_opening_came_in_after_what_it_had(
    workshop, open_client
):
    one, other = workshop.enrol("mechanic"), workshop.enrol("mechanic")
    job, client = uuid7(), open_client(workshop.enrol("owner"))
    workshop.push(other.write("job.taken", {}, job))
    said, at = told(client, 0, 0)
    assert (job, "job.taken") in said
    workshop.push(
        one.write("job.opened", opening(*(private_value(*value) for value in VALUES)), job),
        one.write("job.closed", {"end": "finished"}, job),
    )
    assert (job, "job.closed") in told(client, at, at)[0]


def test_an_auditors_desk_is_told_of_no_job_and_a_mechanics_phone_of_its_own(workshop, open_client):
    phone, auditor = workshop.enrol("mechanic"), workshop.enrol("auditor")
    job = workshop.open_job(phone)
    client = open_client(auditor)
    assert {job for job, _ in told(client, 0, 0)[0]} == {None}
    assert client.get(f"/api/jobs/{job}/log").json["records"] != []
    mine = open_client(phone)
    assert mine.get("/api/log?held=0").json["records"] == mine.get("/api/log").json["records"]


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
    before = all_rows(workshop.store)
    for pattern in ROUTES:
        if pattern != "/api/desk":  # it keeps what it folded
            route = pattern
            for name, value in names.items():
                route = route.replace(name, value)
            read(clients["owner"], route)
    assert all_rows(workshop.store) == before
