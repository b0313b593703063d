"""Finding jobs, and proofs that another program would accept."""

import base64
from itertools import pairwise

import pytest

from twoturns.ledger import checkpoint, record, tree
from twoturns.trade.job_code import job_code
from workshop import uuid7

pytestmark = pytest.mark.both_ledgers


@pytest.fixture
def auditor(workshop, open_client):
    return open_client(workshop.enrol("auditor"))


def test_a_job_is_found_by_vin_plate_lot_tool_and_the_code_on_its_sticker(workshop, auditor):
    phone = workshop.enrol("mechanic")
    job = workshop.open_job(phone, vin="TT00000000000012X")
    workshop.open_job(phone, vin="TT99999999999999X")
    part = {"step": "fit", "name": "belt", "part": "belt", "lot": "L-07"}
    reading = {"step": "bolt", "name": "t", "value": "26.5", "unit": "N·m", "tool": "W7"}
    said = [phone.write("part.fitted", part, job), phone.write("reading.taken", reading, job)]
    said += [phone.write("tool.out", {"tool": "l1", "id": "PIN-3"}, job)]
    workshop.push(*said)
    asked = ({"vin": "tt0000000000-0012x"}, {"lot": "L-07"}, {"tool": "W7"}, {"tool": "PIN-3"})
    asked += ({"code": job_code(job)}, {"code": job_code(job).upper().replace("-", " ")})
    for question in asked:
        (found,) = auditor.post("/api/find", question).json["jobs"]
        assert (found["job"], found["is_closed"]) == (job, False)
        assert found["vin"] == "TT00000000000012X"
    assert len(auditor.post("/api/find", {"plate": "weir-12"}).json["jobs"]) == 2
    assert len(auditor.post("/api/find", {"lot": "l\u201307"}).json["jobs"]) == 1
    assert auditor.post("/api/find", {"lot": "' or 1=1 --"}).json["jobs"] == []


def fitted(lot: str, part: str = "belt") -> dict[str, str]:
    return {"step": "fit", "name": part, "part": part, "lot": lot}


def test_lots_are_listed_by_name_as_they_were_written_last(workshop, auditor, open_client):
    phone, owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    first, second = workshop.open_job(phone), workshop.open_job(phone)
    workshop.push(
        *(phone.write("part.fitted", fitted(lot), first) for lot in ("l-07", "A 1", "Z9")),
        phone.write("part.fitted", fitted("L 07", "idler"), second),
        owner.write("lot.recalled", {"lot": "z-9", "because": "cracked"}),
    )
    page = auditor.get("/api/lots?most=2").json
    rows = [(row["lot"], row["parts"], row["jobs"]) for row in page["lots"]]
    assert rows == [("A 1", ["belt"], 1), ("L 07", ["idler"], 2)]
    assert [row["lot"] for row in page["recalled"]] == ["Z9"]
    rest = auditor.get(f"/api/lots?most=2&after={page['next']}").json
    assert [row["lot"] for row in rest["lots"]] == ["Z9"]
    assert (rest["recalled"], rest["next"]) == ([], None)

    # One sign may be 18 letters as it is compared (U+FDFA), and the list goes on behind it.
    third, wide = workshop.open_job(phone), "\ufdfa" * 64
    workshop.push(
        *(phone.write("part.fitted", fitted(lot), third) for lot in (wide, "\ufdfb" * 64))
    )
    page = auditor.get("/api/lots?most=1&after=Z9").json
    assert page["next"] is not None
    assert len(auditor.get(f"/api/lots?after={page['next']}").json["lots"]) == 1

    # A scope shows neither a lot of other jobs nor its place in the list.
    days = {"days": ["2026-01-01", "2026-12-31"]}
    for scope in ({"jobs": [second], **days}, {"jobs": [second]}):
        limited = open_client(workshop.enrol("auditor", scope=scope))
        page = limited.get("/api/lots?most=1").json
        assert [(row["lot"], row["jobs"]) for row in page["lots"]] == [("L 07", 1)]
        assert (page["recalled"], page["next"]) == ([], None)
    years = {"days": ["2020-01-01", "2020-12-31"]}
    limited = open_client(workshop.enrol("auditor", scope=years))
    page = limited.get("/api/lots?most=1").json
    assert (page["lots"], page["recalled"], page["next"]) == ([], [], None)


def test_no_vehicle_is_named_in_an_address(auditor):
    """OWASP ASVS 5.0.0, 14.2.1: nothing sensitive in a URL; logs and proxies keep those."""
    assert auditor.get("/api/find?vin=TT1").status_code == 405


def test_one_thing_is_sought_at_a_time(auditor):
    for question in ({}, {"vin": "1", "lot": "2"}, {"engine": "1"}, {"vin": ""}):
        assert auditor.post("/api/find", question).json["code"] == "invalid"


def test_every_record_is_proved_under_every_later_checkpoint(workshop, auditor):
    phone, job = workshop.enrol("mechanic"), uuid7()
    heads = []
    for _ in range(5):
        workshop.push(phone.write("job.taken", {}, job))
        text = auditor.get("/api/checkpoint").json["checkpoint"]
        ledger = workshop.store.ledger
        heads.append(checkpoint.open(text, ledger.key, ledger.workshop))
    records = [row["record"] for row in auditor.get("/api/log").json["records"]]
    for head in heads:
        for index in range(head.size):
            answer = auditor.get(f"/api/inclusion?index={index}&size={head.size}")
            path = [base64.b64decode(node) for node in answer.json["path"]]
            leaf = record.parse(records[index]).leaf
            assert tree.verify_inclusion(leaf, index, head.size, path, head.root)
    for old, new in pairwise(heads):
        answer = auditor.get(f"/api/consistency?from={old.size}&to={new.size}")
        path = [base64.b64decode(node) for node in answer.json["path"]]
        assert tree.verify_consistency(old.size, new.size, old.root, new.root, path)


@pytest.mark.parametrize(
    "path",
    [
        "/api/inclusion?index=5&size=5",
        "/api/inclusion?index=0&size=99",
        "/api/consistency?from=3&to=2",
    ],
)
def test_a_proof_no_tree_has_is_refused(auditor, path):
    answer = auditor.get(path)
    assert (answer.status_code, answer.json["code"]) == (400, "bad-proof")
