"""
A blob is shown where it belongs: every device is told all hashes, and naming one opens nothing.

No outside source: the rule is this project's own (DEVELOPERS.md, "disclosure.json").
"""

import io

import pytest

import bag_verifier
from bags import unpacked
from photos import photo
from twoturns.ledger import canonical, private
from twoturns.ledger.bag import layout
from twoturns.ledger.bag.verify import verify
from twoturns.store.bundles import publish
from workshop import opening, private_value, ref, tiny_bundle, uuid7

EVERYTHING = "?with=vin,notes&originals=1"


class Two:
    """Two jobs of two mechanics, each with a VIN, a plate, a note and a photo."""

    def __init__(self, workshop):
        self.workshop = workshop
        self.phones = [workshop.enrol("mechanic") for _ in range(2)]
        self.bundle = tiny_bundle()
        publish(workshop.store, self.bundle, workshop.now)
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
        """The page alone, written from DEVELOPERS.md, takes the bag too."""
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
