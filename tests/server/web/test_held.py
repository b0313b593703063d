"""What a revoked device still sends: taken, held back and bounded; released by an owner to all."""

from base64 import b64decode

import pytest

from twoturns.bag.contents import roster_of
from twoturns.ledger import checkpoint
from twoturns.ledger.record import parse
from twoturns.ledger.standing import standings
from twoturns.ledger.tree import verify_inclusion_of
from twoturns.store import book
from twoturns.store.gather import gather
from twoturns.web import limits
from workshop import opening, private_value, publish_tiny, ref, rows_of_table, uuid7

pytestmark = pytest.mark.both_ledgers


class Cast:
    """A workshop with an open job, whose mechanic loses the phone."""

    def __init__(self, workshop, open_client):
        self.workshop = workshop
        self.owner, self.lost, self.other = (
            workshop.enrol(role) for role in ("owner", "mechanic", "mechanic")
        )
        self.job = workshop.open_job(self.lost)
        self.owners, self.thief, self.others = (
            open_client(phone) for phone in (self.owner, self.lost, self.other)
        )
        workshop.push(
            self.owner.write("device.revoked", {"device": self.lost.id, "because": "lost"})
        )

    def late(self, many):
        return [self.lost.write("job.taken", {}, self.job) for _ in range(many)]

    def rule(self, kind, *said):
        body = {"entries": [one.id for one in said], "because": "looked at"}
        assert self.owners.push(self.owner.write(kind, body)).json["refused"] == []

    def pull(self, client, since=0, most=500):
        """Return the ids of all records from a cursor on, as a phone goes through the pages."""
        found, more = [], True
        while more:
            page = client.get(f"/api/log?since={since}&most={most}").json
            found += [parse(one["record"]).entry.id for one in page["records"]]
            self.require_proof(page)
            since, more = page["next"], page["more"]
        return found, since

    def require_proof(self, page):
        """The page's records lead to the signed root (RFC 6962, section 2.1)."""
        ledger = self.workshop.store.ledger
        head = checkpoint.open(page["checkpoint"], ledger.key, ledger.workshop)
        leaves = {one["index"]: parse(one["record"]).leaf for one in page["records"]}
        proof = [b64decode(one) for one in page["proof"]]
        assert not leaves or verify_inclusion_of(leaves, head.size, proof, head.root)


@pytest.fixture
def cast(workshop, open_client):
    return Cast(workshop, open_client)


def test_what_a_revoked_device_sends_is_taken_and_shown_to_nobody(cast, workshop):
    before = cast.owners.get("/api/desk").json["jobs"]
    cursor = cast.pull(cast.others)[1]
    vin, plate = private_value("vin", "TT666"), private_value("plate", "BAD 1")
    (late,) = cast.late(1)
    invented = [cast.lost.write("job.opened", opening(vin, plate), uuid7()) for _ in range(5)]
    sent = [late, *invented]
    answer = cast.thief.push(*sent, blobs=(vin, plate)).json
    assert (answer["refused"], len(answer["indices"])) == ([], 6)
    # Who brings it hears how it stands: another phone may hold it from before a restore.
    assert answer["held"] == {one.id: "doubted" for one in sent}
    assert cast.others.push(late).json["held"] == {late.id: "doubted"}
    for client in (cast.others, cast.owners):
        assert not {one.id for one in sent} & set(cast.pull(client)[0])
        assert client.get(f"/api/jobs/{invented[0].job}/log").status_code == 404
        page = client.get(f"/api/log?since={cursor}").json
        assert not {one.id for one in sent} & page["standings"].keys()
        assert late.line not in client.get(f"/api/jobs/{cast.job}/log").text
    assert cast.owners.get("/api/desk").json["jobs"] == before
    assert [row["job"] for row in workshop.store.views.jobs()] == [cast.job]
    assert workshop.store.views.find("vin", "TT666") == []


def test_the_owner_is_told_what_is_held_back(cast):
    said = cast.late(6)
    cast.thief.push(*said)
    (told,) = cast.owners.get("/api/held").json["devices"]
    assert (told["device"], told["entries"], told["jobs"]) == (cast.lost.id, 6, 1)
    assert told["bytes"] > sum(len(one.line) for one in said)
    held = cast.owners.get(f"/api/held/{cast.lost.id}?most=4").json
    assert (len(held["records"]), held["more"]) == (4, True)
    rest = cast.owners.get(f"/api/held/{cast.lost.id}?since={held['next']}").json
    ids = [parse(one["record"]).entry.id for one in held["records"] + rest["records"]]
    assert (ids, rest["more"]) == ([one.id for one in said], False)


@pytest.mark.parametrize("most", [500, 1, 2])
def test_accepted_work_is_delivered_anew_to_everybody_with_proof(cast, most):
    late = cast.late(3)
    cast.thief.push(*late)
    clients = (cast.others, cast.owners)
    passed = [cast.pull(client)[1] for client in clients]
    cast.rule("work.accepted", *late)
    cast.others.push(cast.other.write("job.taken", {}, cast.job))
    for client, cursor in zip(clients, passed, strict=True):
        # To a phone whose cursor has passed them, and to one that begins anew; once to each.
        for since in (cursor, 0):
            found, _ = cast.pull(client, since, most)
            assert {one.id for one in late} <= set(found)
            assert len(found) == len(set(found))
        page = client.get(f"/api/log?since={cursor}").json
        assert [page["standings"].get(one.id) for one in late] == ["good"] * 3
        log = client.get(f"/api/jobs/{cast.job}/log").json["records"]
        assert {one.id for one in late} <= {parse(one["record"]).entry.id for one in log}
    assert cast.owners.get("/api/held").json["devices"] == []


def test_an_accepted_job_comes_to_the_desk(cast, workshop):
    vin, plate, job = private_value("vin", "TT7"), private_value("plate", "W7"), uuid7()
    said = cast.lost.write("job.opened", opening(vin, plate), job)
    closed = cast.lost.write("job.closed", {"end": "finished"}, job)
    cast.thief.push(said, closed, blobs=(vin, plate))
    cast.rule("work.accepted", said, closed)
    (row,) = (one for one in cast.owners.get("/api/desk").json["jobs"] if one["job"] == job)
    assert (row["vin"], row["state"], row["entries"]) == ("TT7", "closed", 2)
    assert cast.others.get(f"/api/jobs/{job}/log").status_code == 404  # it is closed


def test_refused_work_is_shown_to_nobody_and_asked_about_no_more(cast, workshop):
    (late,) = cast.late(1)
    cast.thief.push(late)
    cast.rule("work.refused", late)
    assert cast.owners.get("/api/held").json["devices"] == []
    assert late.id not in cast.pull(cast.others)[0]
    assert late.id not in [r.entry.id for _, r, _ in workshop.store.ledger.job_entries(cast.job)]
    cast.rule("work.accepted", late)  # on second thoughts
    assert late.id in cast.pull(cast.others)[0]


def test_who_is_no_owner_releases_nothing(cast):
    (late,) = cast.late(1)
    body = {"entries": [late.id], "because": "mine"}
    cast.thief.push(late, cast.lost.write("work.accepted", body))
    cast.others.push(cast.other.write("work.accepted", body))
    cast.others.push(cast.other.write("work.refused", body))
    assert late.id not in cast.pull(cast.owners)[0]
    assert cast.owners.get("/api/held").json["devices"][0]["entries"] == 2


def test_an_acceptance_that_came_first_holds(cast):
    """After a restore phones bring things back in their own order."""
    (late,) = cast.late(1)
    cast.rule("work.accepted", late)
    cast.thief.push(late)
    assert late.id in cast.pull(cast.others)[0]


def revoked_after_opening(workshop):
    """Return an owner, a device revoked after it opened a job, the job, its entry, its VIN."""
    bundle = publish_tiny(workshop.store, workshop.now)
    owner, lost = workshop.enrol("owner"), workshop.enrol("mechanic")
    vin, plate, job = private_value("vin", "TT1"), private_value("plate", "W1"), uuid7()
    opened = lost.write("job.opened", opening(vin, plate, bundle=bundle.sha256), job)
    workshop.push(opened, blobs=(vin, plate))
    workshop.push(owner.write("device.revoked", {"device": lost.id, "because": "lost"}))
    return owner, lost, job, opened, vin


def test_what_is_held_back_counts_in_the_bag_with_its_standing(workshop):
    owner, lost, job, _, vin = revoked_after_opening(workshop)
    late = lost.write("note.added", {"text": ref(vin)}, job)
    workshop.push(late)
    ruling = owner.write("work.refused", {"entries": [late.id], "because": "not ours"})
    workshop.push(ruling)
    bag = gather(workshop.store, job, groups=(), originals=False, made_on="2026-11-24")
    assert {late.id, ruling.id} <= {record.entry.id for _, record in bag.records}


def test_only_so_much_is_held_back_and_the_rest_stays_on_the_phone(cast, workshop, monkeypatch):
    monkeypatch.setattr(book, "MOST_HELD", 3)
    said = cast.late(5)
    answer = cast.thief.push(*said).json
    assert [one["code"] for one in answer["refused"]] == ["held-full"] * 2
    assert "import" in answer["refused"][0]["hint"]
    assert cast.thief.push(*said[:3]).json["refused"] == []  # a repeat earns its receipt
    assert cast.others.push(said[3]).json["refused"][0]["code"] == "held-full"
    cast.rule("work.refused", said[0])
    assert cast.thief.push(said[3]).json["refused"][0]["code"] == "held-full"
    cast.rule("work.accepted", said[1])
    assert cast.thief.push(said[3]).json["refused"] == []
    # The file at the workshop's computer takes what is over.
    receipt = workshop.store.ledger.append(
        [said[4].line], [], received=workshop.now, offset_ms=None, is_bounded=False
    )
    assert receipt.refused == []


def test_the_bytes_held_back_are_bounded_too(cast, monkeypatch):
    said = cast.late(3)
    monkeypatch.setattr(book, "MOST_HELD_BYTES", int(2.5 * len(said[0].line)))
    assert [one["code"] for one in cast.thief.push(*said).json["refused"]] == ["held-full"]


def test_a_device_that_was_shut_out_is_not_listened_to(cast, open_client):
    said, late = cast.late(2)
    shut = {"device": cast.lost.id, "because": "stolen"}
    cast.others.push(cast.other.write("device.shut", shut))  # a mechanic may not
    assert cast.thief.push(said).json["refused"] == []
    cast.owners.push(cast.owner.write("device.shut", shut))
    assert cast.thief.push(late).json["code"] == "device-shut"
    assert cast.thief.tus("HEAD", "/api/uploads/" + "a" * 64).status_code == 403
    with pytest.raises(AssertionError, match="device-shut"):
        open_client(cast.lost)
    assert cast.others.push(late).json["refused"][0]["code"] == "device-shut"
    assert cast.owners.get("/api/held").json["devices"][0]["is_shut"] is True
    assert cast.owners.push(late).json["refused"] == []  # an owner may still bring it


def test_every_device_has_an_allowance_of_text_and_of_values(cast, monkeypatch):
    few = limits.Allowance("device-quota", 2_000, 1, "this device has sent 2 kB")
    monkeypatch.setattr("twoturns.web.entries.TEXT", few)
    said = [cast.other.write("job.taken", {}, cast.job) for _ in range(5)]
    assert cast.others.push(*said[:2]).status_code == 200
    assert cast.others.push(*said).status_code == 507
    assert cast.owners.push(*said).status_code == 200
    values = tuple(private_value("words", str(n)) for n in range(3))
    two = limits.Allowance("device-quota", 2, 1, "two values")
    monkeypatch.setattr("twoturns.web.entries.VALUES", two)
    assert cast.others.push(blobs=values).json["code"] == "device-quota"
    assert cast.owners.push(blobs=values).status_code == 200


def test_a_revoked_device_sends_few_values_and_photos(cast, monkeypatch):
    values = tuple(private_value("words", str(n)) for n in range(3))
    two = limits.Allowance("held-full", 2, 1, "this device was revoked")
    monkeypatch.setattr("twoturns.web.entries.HELD_VALUES", two)
    monkeypatch.setattr("twoturns.web.uploads.HELD_BYTES", two)
    assert cast.thief.push(blobs=values).json["code"] == "held-full"
    said = {"Upload_Length": "3", "Upload_Metadata": "sha256 " + "YWFh" * 21 + "YQ=="}
    for client, expected in ((cast.thief, 507), (cast.others, 201)):
        assert client.tus("POST", "/api/uploads", **said).status_code == expected


def test_a_rebuild_holds_back_the_same(cast, workshop):
    late = cast.late(3)
    cast.thief.push(*late)
    cast.rule("work.accepted", late[1])
    cast.rule("work.refused", late[2])
    tables = ("entries", "jobs", "workers", "heads", "refused", "shut")
    before = {table: rows_of_table(workshop.store, table) for table in tables}
    workshop.store.rebuild()
    assert {table: rows_of_table(workshop.store, table) for table in tables} == before


def in_bag(workshop, job):
    """The standings that a reader works out of the records of a job's bag."""
    bag = gather(workshop.store, job, groups=(), originals=False, made_on="2026-11-24")
    roster = roster_of(bag.workshop, bag.records)
    return standings([(index, one.entry) for index, one in bag.records], roster)


def test_a_thief_takes_nothing_out_of_evidence_that_was_written_before(workshop):
    """Reproduced: numbered anew from 1 with the stolen key, all honest work was forked at once."""
    owner, lost, job, honest, _ = revoked_after_opening(workshop)
    lost.seq, lost.heads = 0, {}
    lies = [lost.write("job.taken", {}, uuid7()) for _ in range(4)]
    assert workshop.push(*lies).held == {one.id: "doubted" for one in lies}

    def told():
        bag = in_bag(workshop, job)
        shown = {r.entry.id: s for _, r, s in workshop.store.ledger.job_entries(job)}
        assert shown == {one: bag[one] for one in shown}
        return shown

    assert told() == {honest.id: "good"}
    twin = next(one for one in lies if one.seq == honest.seq)
    for named, said in ((twin, "forked"), (honest, "good")):
        workshop.push(owner.write("work.accepted", {"entries": [named.id], "because": "seen"}))
        assert told() == {honest.id: said}
