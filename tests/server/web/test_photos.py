"""Photos across jobs: found by what is asked, within the asker's scope, as they stand now."""

import hashlib
from datetime import timedelta

import pytest

from twoturns.store.blob_facts import BlobFacts
from twoturns.store.rebuild import rebuild_views
from workshop import Workshop, opening, private_value, uuid7

pytestmark = pytest.mark.both_ledgers


class Album:
    """A workshop in which photos are taken."""

    def __init__(self, workshop: Workshop) -> None:
        self.workshop, self.phone = workshop, workshop.enrol("mechanic")
        self.taken = 0

    def job(self, plate: str = "WEIR 12", **opened: object) -> str:
        job, values = uuid7(), (private_value("vin", "TT1"), private_value("plate", plate))
        body = {**opening(*values), **opened}
        self.workshop.push(self.phone.write("job.opened", body, job), blobs=values)
        return job

    def photo(self, job: str, step: str = "belt_on", phone=None, sharp: int | None = 400) -> str:
        self.taken += 1
        body = {"step": step, "name": "drive", "size": 9, "type": "image/jpeg", "how": "live"}
        body |= {"blob": hashlib.sha256(b"%d" % self.taken).hexdigest(), "width": 0, "height": 0}
        if sharp is not None:
            body["quality"] = {"sharp_tenths": sharp, "mean": 120, "blown_permille": 0}
        self.workshop.now += timedelta(minutes=1)
        said = (phone or self.phone).write("photo.taken", body, job)
        self.workshop.push(said)
        return said.id


@pytest.fixture
def album(workshop):
    return Album(workshop)


@pytest.fixture
def owner(workshop, open_client):
    return open_client(workshop.enrol("owner"))


def ids(client, **asked) -> list[str]:
    answer = client.post("/api/photos", asked)
    assert answer.status_code == 200, answer.json
    return [row["id"] for row in answer.json["photos"]]


def test_the_one_received_last_comes_first_and_a_row_says_what_its_entry_says(album, owner):
    job = album.job()
    first, second = album.photo(job), album.photo(job, step="belt_off", sharp=None)
    rows = owner.post("/api/photos", {}).json["photos"]
    assert [row["id"] for row in rows] == [second, first]
    last = rows[0]
    assert (last["job"], last["step"], last["name"], last["plate"]) == (
        job,
        "belt_off",
        "drive",
        "WEIR 12",
    )
    assert (last["at"], last["received"]) == (
        "2026-11-24T12:00:00.000Z",
        "2026-11-24T12:02:00.000Z",
    )
    assert (last["quality"], last["how"], last["standing"]) == (None, "live", "good")
    assert (
        owner.get(f"/api/inclusion?index={last['index']}&size={last['index'] + 1}").status_code
        == 200
    )


def test_each_question_finds_what_it_names_and_nothing_else(album, open_client, workshop):
    one, other = album.job(), album.job(bundle="cd" * 32, engine_code="HB-1.4")
    somebody = workshop.enrol("mechanic")
    first = album.photo(one, step="belt_on", sharp=240)
    second = album.photo(other, step="belt_off", phone=somebody, sharp=330)
    workshop.now += timedelta(days=1)
    third = album.photo(other, step="belt_off", sharp=None)
    owner = open_client(workshop.enrol("owner"))
    asked = {
        ("step", "belt_off"): [third, second],
        ("person", somebody.person): [second],
        ("bundle", "cd" * 32): [third, second],
        ("engine_code", "QV-2.0"): [first],
        ("standing", "good"): [third, second, first],
        ("standing", "doubted"): [],
        ("sharp_below", 250): [first],
        ("sharp_from", 250): [second],
        ("is_unjudged", True): [third],
        ("since", "2026-11-25"): [third],
        ("until", "2026-11-24"): [second, first],
    }
    assert {(name, value): ids(owner, **{name: value}) for name, value in asked} == asked
    assert ids(owner, step="belt_off", person=somebody.person, until="2026-11-24") == [second]


def test_photos_that_come_before_their_job_is_opened_are_found_by_its_engine_after_it(
    album, owner, workshop
):
    job, values = uuid7(), (private_value("vin", "TT1"), private_value("plate", "W1"))
    opened = album.phone.write("job.opened", opening(*values), job)
    early = album.photo(job)
    assert ids(owner, engine_code="QV-2.0") == []
    workshop.push(opened, blobs=values)
    assert ids(owner, engine_code="QV-2.0") == [early]


def test_a_photo_is_found_by_how_it_stands_now(album, owner, workshop):
    """Its number comes twice later; a revoked phone's is held back until an owner accepts it."""
    job, lost = album.job(), workshop.enrol("mechanic")
    forked = album.photo(job, phone=lost)
    lost.seq -= 1
    twin = album.photo(job, phone=lost)
    assert ids(owner, standing="forked") == [twin, forked]
    desk = workshop.enrol("owner")
    workshop.push(desk.write("device.revoked", {"device": lost.id, "because": "lost"}))
    late = album.photo(job, phone=lost)
    assert ids(owner, person=lost.person) == [twin, forked]
    workshop.push(desk.write("work.accepted", {"entries": [late], "because": "seen"}))
    assert ids(owner, person=lost.person, standing="good") == [late]


def test_made_anew_the_view_is_the_same(album, owner, workshop):
    job, lost = album.job(), workshop.enrol("mechanic")
    album.photo(job, phone=lost)
    lost.seq -= 1
    album.photo(job, phone=lost, sharp=None)
    database = workshop.store.database
    before = database.rows('select * from photos order by "index"')
    facts = BlobFacts.of_all(workshop.store.blobs, database)
    with database.write() as db:
        rebuild_views(db, workshop.store.ledger.workshop, facts)
    assert database.rows('select * from photos order by "index"') == before


class TestAScope:
    """An auditor sees photos of the scope, whatever is asked, and nothing tells of others."""

    def test_of_jobs_and_of_days(self, album, open_client, workshop):
        one, other = album.job(), album.job()
        mine, foreign = album.photo(one), album.photo(other)
        by_jobs = open_client(workshop.enrol("auditor", scope={"jobs": [one]}))
        assert ids(by_jobs) == [mine]
        days = {"days": ["2025-01-01", "2025-12-31"]}
        assert ids(open_client(workshop.enrol("auditor", scope=days))) == []
        both = {"jobs": [other], "days": ["2026-11-24", "2026-11-24"]}
        assert ids(open_client(workshop.enrol("auditor", scope=both))) == [foreign]
        assert ids(open_client(workshop.enrol("auditor"))) == [foreign, mine]

    @pytest.mark.parametrize("more", [{"jobs": []}, {"scope": None}, {"ids": "[]"}, {"first": ""}])
    def test_cannot_be_changed_in_the_question(self, album, open_client, workshop, more):
        scope = {"jobs": [album.job()]}
        answer = open_client(workshop.enrol("auditor", scope=scope)).post("/api/photos", more)
        assert (answer.status_code, answer.json["code"]) == (422, "invalid")

    def test_a_place_of_another_job_is_none(self, album, open_client, workshop, owner):
        one, other = album.job(), album.job()
        album.photo(one)
        album.photo(other)
        (place, _) = [str(row["index"]) for row in owner.post("/api/photos", {}).json["photos"]]
        limited = open_client(workshop.enrol("auditor", scope={"jobs": [one]}))
        assert ids(limited, after=place) == []
        assert len(ids(owner, after=place)) == 1

    def test_a_plate_that_is_not_for_the_asker_is_not_told(
        self, album, open_client, workshop, owner
    ):
        album.photo(album.job(plate="SEEN 1"))
        limited = open_client(workshop.enrol("auditor", scope={"values": ["vin"]}))
        auditor = open_client(workshop.enrol("auditor"))

        def plates():
            clients = (limited, auditor, owner)
            return [one.post("/api/photos", {}).json["photos"][0]["plate"] for one in clients]

        assert plates() == [None, "SEEN 1", "SEEN 1"]
        row = workshop.store.database.row("select plate_blob from jobs")
        order = {"blobs": [row["plate_blob"]], "reason": "asked", "basis": "law"}
        workshop.push(workshop.enrol("owner").write("erasure.ordered", order))
        assert plates() == [None, None, "SEEN 1"]


def test_two_thousand_photos_of_a_job_come_in_pages_and_each_once(album, owner, workshop):
    job, phone, said = album.job(), album.phone, []
    for number in range(2_000):
        body = {"step": "belt_on", "name": "drive", "size": 9, "type": "image/jpeg"}
        blob = hashlib.sha256(b"many %d" % number).hexdigest()
        body |= {"blob": blob, "width": 0, "height": 0, "how": "live"}
        said.append(phone.write("photo.taken", body, job))
    for start in range(0, 2_000, 500):
        workshop.push(*said[start : start + 500])
    found, page = [], owner.post("/api/photos", {"most": 500}).json
    while True:
        found += [row["id"] for row in page["photos"]]
        if page["next"] is None:
            break
        page = owner.post("/api/photos", {"most": 500, "after": page["next"]}).json
    assert found == [one.id for one in reversed(said)]
