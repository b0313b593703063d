"""
A blob is shown where it belongs: every device is told all hashes, and naming one opens nothing.

No outside source: the rule is this project's own (formats.md, section 8, "disclosure.json").
"""

import io

import pytest

import bag_verifier
from bags import unpacked
from photos import photo
from twoturns.bag import layout
from twoturns.bag.blob_uses import uses_of_blobs
from twoturns.bag.verify import verify
from twoturns.ledger import canonical, private
from workshop import opening, private_value, publish_tiny, ref, uuid7

EVERYTHING = "?with=vin,notes&originals=1"


class Two:
    """Two jobs of two mechanics, each with a VIN, a plate, a note and a photo."""

    def __init__(self, workshop):
        self.workshop = workshop
        self.phones = [workshop.enrol("mechanic") for _ in range(2)]
        self.bundle = publish_tiny(workshop.store, workshop.now)
        self.jobs, self.values, self.photos = [], [], []
        for number, phone in enumerate(self.phones, 1):
            self._open(phone, number)

    def _open(self, phone, number):
        made = {
            field: private_value(field, f"{field} of job {number}")
            for field in ("vin", "plate", "words")
        }
        job, store = uuid7(), self.workshop.store
        said = opening(made["vin"], made["plate"], bundle=self.bundle.sha256)
        opened = phone.write("job.opened", said, job)
        note = phone.write("note.added", {"text": ref(made["words"])}, job)
        shot = store.blobs.put(photo(400 + number))
        taken = phone.write("photo.taken", self.taken(shot), job)
        self.workshop.push(opened, note, taken, blobs=tuple(made.values()))
        store.ledger.keep([shot], self.workshop.now)
        self.jobs.append(job)
        self.values.append({field: private.blob_id(data) for field, data in made.items()})
        self.photos.append(shot)

    def taken(self, blob):
        size = self.workshop.store.blobs.size(blob)
        kind = {"type": "image/jpeg", "width": 401, "height": 300, "how": "live"}
        return {"step": "look", "name": "marks", "blob": blob, "size": size, **kind}

    def say(self, phone, *, values=(), photos=()):
        """Have a device name, in the first job, what is the second's."""
        notes = [phone.write("note.added", {"text": {"blob": one}}, self.jobs[0]) for one in values]
        shots = [phone.write("photo.taken", self.taken(one), self.jobs[0]) for one in photos]
        assert self.workshop.push(*notes, *shots).refused == []

    def bag(self, client):
        answer = client.get(f"/api/jobs/{self.jobs[0]}/bag{EVERYTHING}")
        assert answer.status_code == 200, answer.json
        verdict = verify(io.BytesIO(answer.data), key=self.workshop.store.ledger.workshop)
        assert verdict.holds, verdict.findings
        self.require_alone(answer.data)
        return unpacked(answer.data)

    def require_alone(self, bag):
        """The page alone, written from formats.md, takes the bag too."""
        assert bag_verifier.check(io.BytesIO(bag)) == self.workshop.store.ledger.workshop


@pytest.fixture
def two(workshop):
    return Two(workshop)


def told(files):
    return {one["blob"]: (one["state"], one.get("reason")) for one in said_of(files)}


def said_of(files):
    return canonical.loads(files[layout.DISCLOSURE])


def jobs_in(files):
    """Return the jobs of which a bag shows a photo's entry."""
    lines = files[layout.RECORDS].decode().splitlines()
    return {
        canonical.loads(line.split(" ", 4)[4].encode())["job"]
        for line in lines
        if '"marks"' in line
    }


FOREIGN = ("withheld", "it belongs to another job")


def test_a_bag_shows_no_private_value_of_another_job(two, workshop, open_client):
    (own, other), mine = two.values, two.phones[0]
    two.say(mine, values=other.values())
    files = two.bag(open_client(workshop.enrol("owner")))
    said = told(files)
    assert {said[blob] for blob in other.values()} == {FOREIGN}
    assert {said[blob] for blob in own.values()} == {("disclosed", None)}
    assert not any(b"of job 2" in data for data in files.values())


def test_a_scoped_auditor_gets_nothing_by_naming_it(two, workshop, open_client):
    auditor = workshop.enrol("auditor", scope={"jobs": two.jobs[:1]})
    two.say(auditor, values=two.values[1].values(), photos=two.photos[1:])
    # A name that nobody may give counts no more than a note.
    named = {"person": auditor.person, "name": {"blob": two.values[1]["vin"]}}
    workshop.push(auditor.write("person.named", named))
    files = two.bag(open_client(auditor))
    said = told(files)
    assert {said[blob] for blob in (*two.values[1].values(), two.photos[1])} == {FOREIGN}
    assert said[two.photos[0]] == ("disclosed", None)
    assert jobs_in(files) == {two.jobs[0]}


def test_a_photo_shown_before_is_shown_to_who_sees_where_and_only_then(two, workshop, open_client):
    two.say(two.phones[0], photos=two.photos[1:])
    for scope, expected in (
        ({"jobs": two.jobs[:1]}, (FOREIGN, two.jobs[:1])),
        ({"jobs": two.jobs}, (("disclosed", None), two.jobs)),
        (None, (("disclosed", None), two.jobs)),
    ):
        limited = {} if scope is None else {"scope": scope}
        files = two.bag(open_client(workshop.enrol("auditor", **limited)))
        assert (told(files)[two.photos[1]], sorted(jobs_in(files))) == expected


def test_a_photo_that_only_a_doubted_entry_shows_is_not_in_the_owners_bag(
    two, workshop, open_client
):
    two.say(workshop.enrol("auditor"), photos=two.photos[1:])
    assert told(two.bag(open_client(workshop.enrol("owner"))))[two.photos[1]] == FOREIGN


def test_the_names_of_who_worked_are_shown_whoever_else_names_them(two, workshop, open_client):
    workshop.store.name_person(two.phones[0].person, "Ada Weir", workshop.now)
    (row,) = workshop.store.database.rows(
        "select blob from mentions where job = '' and blob in"
        " (select blob from kept where size < 400)"
    )
    workshop.push(two.phones[1].write("note.added", {"text": {"blob": row["blob"]}}, two.jobs[1]))
    files = two.bag(open_client(workshop.enrol("owner")))
    assert told(files)[row["blob"]] == ("disclosed", None)


# What a job that is opened with another's values tells of them


def opens_anew(two, phone, person=None):
    """Open a job with the values of the first one, and fit a part; return it and its opening."""
    person = person or phone.person
    job, values = uuid7(), two.values[0]
    body = opening(b"", b"", bundle=two.bundle.sha256)
    body |= {field: {"blob": values[field]} for field in ("vin", "plate")}
    opened = phone.write("job.opened", body, job, person=person)
    part = {"step": "fit", "name": "belt", "part": "belt", "lot": "QQ 1"}
    assert two.workshop.push(opened, phone.write("part.fitted", part, job)).refused == []
    return job, opened


def found(client, **what):
    return {
        row["job"]: (row["vin"], row["plate"])
        for row in client.post("/api/find", what).json["jobs"]
    }


@pytest.mark.parametrize("is_doubted", [False, True])
def test_a_job_opened_with_another_jobs_values_does_not_tell_them(
    two, workshop, open_client, is_doubted
):
    owner, auditor = (open_client(workshop.enrol(who)) for who in ("owner", "auditor"))
    job, _ = opens_anew(two, two.phones[1], uuid7() if is_doubted else None)
    for client in (owner, auditor):
        assert found(client, lot="QQ 1") == {job: (None, None)}
    assert [*found(owner, vin="vin of job 1")] == [two.jobs[0]]
    workshop.store.rebuild()
    assert found(owner, lot="QQ 1") == {job: (None, None)}


def test_a_doubted_opening_opens_nothing_before_it_is_accepted(two, workshop, open_client):
    owner = workshop.enrol("owner")
    job, opened = opens_anew(two, two.phones[1], uuid7())
    (row,) = (one for one in workshop.store.views.jobs() if one["job"] == job)
    assert (row["opened"], row["bundle"], row["vin_blob"], row["entries"]) == (None, None, None, 2)
    assert (
        opened.line in open_client(owner).get(f"/api/jobs/{job}/log").json["records"][0]["record"]
    )
    workshop.push(owner.write("work.accepted", {"entries": [opened.id], "because": "seen"}))
    (row,) = (one for one in workshop.store.views.jobs() if one["job"] == job)
    assert (row["bundle"], row["vin"]) == (two.bundle.sha256, None)


# What is held back


class Held:
    """A lost phone's note in the first job, held back, and the second mechanic who names it."""

    def __init__(self, two, open_client):
        self.two, self.workshop = two, two.workshop
        (self.lost, self.other), self.owner = two.phones, two.workshop.enrol("owner")
        self.others, self.owners = open_client(self.other), open_client(self.owner)
        gone = {"device": self.lost.id, "because": "lost"}
        self.workshop.push(self.owner.write("device.revoked", gone))
        words = private_value("words", "held back")
        self.blob = private.blob_id(words)
        self.note = self.lost.write("note.added", {"text": ref(words)}, two.jobs[0])
        self.workshop.push(self.note, blobs=(words,))

    def named_by_another(self):
        """Have the second mechanic name it, in a job of their own and in that one; their status."""
        for job in reversed(self.two.jobs):
            said = self.other.write("note.added", {"text": {"blob": self.blob}}, job)
            assert self.workshop.push(said).refused == []
        return self.others.get(f"/api/blobs/{self.blob}").status_code

    def rule(self, kind):
        said = self.owner.write(kind, {"entries": [self.note.id], "because": "looked at"})
        assert self.workshop.push(said).refused == []

    def is_erased_with(self, job):
        entries = [record.entry for _, record, _ in self.workshop.store.ledger.job_entries(job)]
        views = self.workshop.store.views
        return self.blob in uses_of_blobs(entries) and not views.are_of_another_job(
            [self.blob], job
        )


@pytest.fixture
def held(two, open_client):
    return Held(two, open_client)


@pytest.mark.parametrize("ruling", [None, "work.refused"])
def test_what_is_held_back_is_not_read_by_naming_it(held, ruling):
    if ruling:
        held.rule(ruling)
    assert held.named_by_another() == 404
    said = told(held.two.bag(held.owners))[held.blob]
    assert said == ("withheld", "no entry that is shown says that it belongs to this job")
    held.workshop.store.rebuild()
    assert held.named_by_another() == 404


def test_what_is_accepted_belongs_to_its_job_whoever_named_it_meanwhile(held):
    job, other = held.two.jobs
    held.named_by_another()
    held.rule("work.accepted")
    assert (
        held.others.get(f"/api/blobs/{held.blob}").status_code == 200
    )  # in the job, which is open
    assert [held.is_erased_with(one) for one in (job, other)] == [True, False]
    assert told(held.two.bag(held.owners))[held.blob] == ("disclosed", None)
    held.workshop.store.rebuild()
    assert [held.is_erased_with(one) for one in (job, other)] == [True, False]
