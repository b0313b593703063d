"""Whom to call: vehicles of a recall, or of a wrench that was found out; how far that came."""

from datetime import timedelta

import pytest

from twoturns.store.blob_folder import BlobFolder
from twoturns.store.bundles import publish
from twoturns.store.follow_up import LATE_DAYS
from workshop import NOON, opening, private_value, ref, tiny_bundle, uuid7

BELT = {"step": "belt_on", "name": "belt", "part": "belt"}
READ = {"step": "belt_on", "name": "t", "value": "26", "unit": "N·m", "tool": "tw 2"}
READ |= {"low": "24.96", "high": "27.04"}
FOUND = {"tool": "TW-2", "on": "2026-11-24", "unit": "N·m", "allowed_percent": "4"}
FOUND |= {"points": [{"nominal": n, "found": f} for n, f in (("20", "18.2"), ("100", "91"))]}


class Jobs:
    """Opens jobs of named customers, and reads whom to call."""

    def __init__(self, workshop, open_client):
        self.workshop, self.bundle = workshop, tiny_bundle()
        publish(workshop.store, self.bundle, NOON)
        self.phone, self.owner = workshop.enrol("mechanic"), workshop.enrol("owner")
        self.client = open_client(self.owner)

    def open(self, name: str, *, vin: str = "TT1") -> str:
        job = uuid7()
        values = [private_value("vin", vin), private_value("plate", f"W {name}")]
        customer = private_value("customer", name)
        body = opening(*values, bundle=self.bundle.sha256) | {"customer": ref(customer)}
        self.workshop.push(self.phone.write("job.opened", body, job), blobs=(*values, customer))
        return job

    def say(self, kind: str, body: dict, job: str | None = None, by=None, blobs=()):
        by = by or self.phone
        by.heads[job] = [*{*self.phone.heads.get(job, []), *by.heads.get(job, [])}]
        said = by.write(kind, body, job)
        assert self.workshop.push(said, blobs=blobs).refused == []
        return said.id

    def follow(self, of: str, how: str, job: str, **more):
        return self.say("recall.followed", {"of": of, "how": how, **more}, job, by=self.owner)

    def recall(self, lot: str, **more) -> str:
        body = {"lot": lot, "because": "teeth shear", **more}
        return self.say("lot.recalled", body, by=self.owner)

    def vehicles(self, of: str, **more) -> list[dict]:
        return self.answer(of, **more)["vehicles"]

    def answer(self, of: str, **more) -> dict:
        self.client.sign_in(self.owner)  # years may have passed
        asked = "&".join(f"{name}={value}" for name, value in more.items())
        answer = self.client.get(f"/api/follow-ups/{of}?{asked}")
        assert answer.status_code == 200, answer.json
        return answer.json


@pytest.fixture
def jobs(workshop, open_client) -> Jobs:
    return Jobs(workshop, open_client)


def test_every_vehicle_of_a_lot_however_old_and_however_it_is_spelled(jobs):
    old, new, other = (jobs.open(name) for name in ("Old", "New", "Other"))
    jobs.say("part.fitted", BELT | {"lot": "nh 24–0917"}, old)
    jobs.workshop.now += timedelta(days=4000)
    jobs.say("part.fitted", BELT | {"lot": "NH-24-0917"}, new)
    jobs.say("part.fitted", BELT | {"lot": "NH-24-0918"}, other)
    of = jobs.recall("NH240917", until="2037-12-01")
    answer = jobs.answer(of)
    assert (answer["kind"], answer["name"], answer["until"]) == ("lot", "NH240917", "2037-12-01")
    rows = answer["vehicles"]
    assert {(one["job"], one["customer"]) for one in rows} == {(old, "Old"), (new, "New")}
    assert {one["plate"] for one in rows} == {"W Old", "W New"}
    assert [one["parts"][0]["part"] for one in rows] == ["belt", "belt"]
    assert not any(one["is_done"] for one in rows)
    assert answer["next"] is None


def test_what_was_done_for_a_vehicle_is_told_with_who_and_when(jobs):
    job = jobs.open("Ada")
    jobs.say("part.fitted", BELT | {"lot": "L1"}, job)
    of, words = jobs.recall("L1"), private_value("words", "comes on Tuesday")
    jobs.follow(of, "not_reached", job)
    said = {"of": of, "how": "told", "words": ref(words)}
    jobs.say("recall.followed", said, job, by=jobs.owner, blobs=(words,))
    jobs.follow(jobs.recall("L1"), "told", job)  # of another recall
    (row,) = jobs.vehicles(of)
    assert [(one["how"], one["person"]) for one in row["followed"]] == [
        ("not_reached", jobs.owner.person),
        ("told", jobs.owner.person),
    ]
    assert [one["words"] for one in row["followed"]] == [None, ref(words)["blob"]]
    assert not row["is_done"]
    jobs.follow(of, "replaced", job)
    (row,) = jobs.vehicles(of)
    assert row["is_done"]
    assert [one["asks"] for one in row["parts"]] == [False]


def test_two_owners_who_follow_up_one_vehicle_are_both_told(jobs, open_client):
    job, of = jobs.open("Ada"), None
    jobs.say("part.fitted", BELT | {"lot": "L1"}, job)
    of = jobs.recall("L1")
    second = jobs.workshop.enrol("owner")
    second.heads[job] = jobs.owner.heads[job] = list(jobs.phone.heads[job])
    one = jobs.owner.write("recall.followed", {"of": of, "how": "told"}, job)
    two = second.write("recall.followed", {"of": of, "how": "replaced"}, job)
    assert jobs.workshop.push(one, two).refused == []
    (row,) = jobs.vehicles(of)
    assert {(each["how"], each["person"]) for each in row["followed"]} == {
        ("told", jobs.owner.person),
        ("replaced", second.person),
    }
    assert row["is_done"]


def test_a_newer_job_of_the_vehicle_with_another_lot_is_named(jobs):
    job = jobs.open("Ada", vin="TT 7")
    jobs.say("part.fitted", BELT | {"lot": "L1"}, job)
    of = jobs.recall("L1")
    assert [one["later_job"] for one in jobs.vehicles(of)] == [None]
    jobs.workshop.now += timedelta(days=30)
    newer = jobs.open("Ada", vin="tt-7")
    jobs.say("part.fitted", BELT | {"lot": "L2"}, newer)
    (row,) = jobs.vehicles(of)
    assert (row["later_job"], row["is_done"]) == (newer, False)


def test_a_recall_of_a_lot_that_nobody_fitted_has_no_vehicle(jobs):
    assert jobs.vehicles(jobs.recall("NOBODY")) == []


def test_what_is_no_matter_is_not_found(jobs):
    answer = jobs.client.get(f"/api/follow-ups/{'0' * 64}")
    assert (answer.status_code, answer.json["code"]) == (404, "not-found")


def test_an_erased_name_is_told_no_more(jobs):
    job = jobs.open("Ada")
    jobs.say("part.fitted", BELT | {"lot": "L1"}, job)
    of = jobs.recall("L1")
    (entry,) = (one for _, one, _ in jobs.workshop.store.ledger.job_entries(job)[:1])
    erased = {"blob": entry.entry.body["customer"]["blob"], "reason": "asked", "basis": "law"}
    jobs.workshop.store.ledger.state("blob.erased", erased, NOON)
    assert [one["customer"] for one in jobs.vehicles(of)] == [None]


def test_pages_go_on_where_they_ended(jobs):
    for name in "ABCDE":
        jobs.say("part.fitted", BELT | {"lot": "L1"}, jobs.open(name))
    of = jobs.recall("L1")
    found, more = [], {}
    while True:
        answer = jobs.answer(of, most=2, **more)
        assert len(answer["vehicles"]) <= 2
        found += [one["customer"] for one in answer["vehicles"]]
        if answer["next"] is None:
            break
        more = {"after": answer["next"]}
    assert sorted(found) == [*"ABCDE"]


def test_what_a_wrench_tightened_since_its_last_good_check_the_worst_first(jobs):
    day = timedelta(days=1)
    before, bad, fine = (jobs.open(name) for name in ("Before", "Bad", "Fine"))
    good = {"tool": "TW-2", "on": "2026-11-24", "due": "2027-11-24"}
    jobs.say("tool.calibrated", good | {"on": "2026-11-01"}, by=jobs.owner)
    jobs.say("reading.taken", READ | {"name": "u", "low": "25.9"}, bad)
    jobs.say("reading.taken", READ, bad)
    jobs.say("reading.taken", READ | {"name": "v", "value": "10"}, bad)
    jobs.say("reading.taken", READ | {"low": "20"}, fine)
    jobs.say("reading.taken", READ | {"tool": "TW-1"}, before)
    of = jobs.say("tool.checked", FOUND | {"until": "2026-12-01"}, by=jobs.owner)
    rows = {one["customer"]: one for one in jobs.vehicles(of)}
    assert rows.keys() == {"Bad", "Fine"}
    assert [(one["verdict"], one["actual"]) for one in rows["Bad"]["fasteners"]] == [
        ("outside", "23.66"),
        ("outside", "23.66"),
        ("unknown", None),
    ]
    first = rows["Bad"]["fasteners"][0]
    assert (first["low"], first["beyond_permille"]) == ("25.9", 86)  # (25.9 - 23.66) / 26
    assert (rows["Bad"]["is_done"], rows["Fine"]["is_done"]) == (False, True)
    jobs.follow(of, "accepted", bad)
    assert {one["is_done"] for one in jobs.vehicles(of)} == {True}
    # Put right two days later: what comes long after that is not looked at.
    jobs.say("tool.calibrated", good | {"on": "2026-11-26"}, by=jobs.owner)
    jobs.workshop.now += day * (LATE_DAYS + 5)
    jobs.say("reading.taken", READ, jobs.open("Late"))
    assert {one["customer"] for one in jobs.vehicles(of)} == {"Bad", "Fine"}


@pytest.mark.parametrize("digits", ["1" + "0" * 400, "9" * 308])
@pytest.mark.parametrize("member", ["value", "low", "high"])
def test_a_figure_beyond_all_measure_does_not_take_the_list_away(jobs, member, digits):
    jobs.say("reading.taken", READ | {member: digits}, jobs.open("Ada"))
    (row,) = jobs.vehicles(jobs.say("tool.checked", FOUND, by=jobs.owner))
    assert row["fasteners"][0][member] == digits


def test_a_bundle_that_nobody_published_names_nothing_on_the_workshops_page(jobs):
    """A phone may open a job by any file: its words would speak in a letter to a customer."""
    store = jobs.workshop.store
    for bundle in (tiny_bundle(), tiny_bundle(2)):
        store.ledger.keep([store.blobs.put(bundle.canonical)], NOON)
        jobs.bundle = bundle
        jobs.say("reading.taken", READ, jobs.open("Ada Weir"))
    rows = jobs.vehicles(jobs.say("tool.checked", FOUND, by=jobs.owner))
    assert {one["fasteners"][0]["where"] for one in rows} == {"3 New belt on: t", "belt_on: t"}


def test_no_more_of_a_file_is_read_for_a_name_than_a_name_can_be(jobs, monkeypatch):
    """An entry may call a photo of 256 MiB a customer."""
    of = jobs.recall("NH-24-0917")
    jobs.say("part.fitted", {**BELT, "lot": "NH-24-0917"}, jobs.open("Ada Weir"))
    read, sizes = BlobFolder.read, []

    def noted(blobs, sha256, at_most=None):
        sizes.append(at_most)
        return read(blobs, sha256, at_most)

    monkeypatch.setattr(BlobFolder, "read", noted)
    assert [one["customer"] for one in jobs.vehicles(of)] == ["Ada Weir"]
    assert sizes
    assert None not in sizes
