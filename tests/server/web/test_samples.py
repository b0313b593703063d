"""An audit over HTTP: all jobs in a list, a population that is frozen, a sample, its bags."""

import io
import json
import zipfile

import pytest
from click.testing import CliRunner

from bags import BagWorkshop, packed, unpacked
from twoturns.bag.many import verify_many
from twoturns.bag.sample import draw
from twoturns.cli import main
from twoturns.ledger import canonical
from twoturns.ledger.record import parse
from workshop import clients, private_value, ref, uuid7

pytestmark = pytest.mark.slow(9)


class Audit:
    """Five jobs of two mechanics, an auditor, and what he asks."""

    def __init__(self, folder):
        self.workshop = BagWorkshop(folder)
        self.ada, self.cleo = (self.workshop.phone("mechanic", name) for name in ("Ada", "Cleo"))
        self.jobs = [self._job(self.ada, f"WEIR {n}") for n in range(3)]
        self.jobs += [self._job(self.cleo, f"LOCK {n}") for n in range(2)]
        open_client = clients(self.workshop)
        self.auditor = self.workshop.enrol("auditor")
        self.client = open_client(self.auditor)
        self.open_client = open_client

    def _job(self, phone, plate):
        work = self.workshop.job(phone, plate=plate)
        work.run(phone, until="belt_off")
        if plate.endswith("1"):
            work.fail(phone, "belt_off", "nut_seized", words="seized")
            fitted = {"step": "belt_on", "name": "belt", "part": "belt", "lot": "NH-24-0917"}
            work.write(phone, "part.fitted", fitted)
        self.workshop.deliver(phone)
        return work.job

    def listed(self, **wanted):
        answer = self.client.post("/api/audit/jobs", wanted)
        assert answer.status_code == 200, answer.json
        return [row["job"] for row in answer.json["jobs"]]

    def freeze(self, **wanted):
        found = self.client.post("/api/audit/population", wanted).json
        said = self.auditor.write("audit.frozen", {**found, "filter": wanted})
        self.workshop.push(said)
        return said

    def auditor_freeze(self):
        return {**self.client.post("/api/audit/population", {}).json, "filter": {}}

    def draw(self, freeze, word, count):
        said = self.auditor.write("audit.drawn", {"freeze": freeze, "word": word, "count": count})
        self.workshop.push(said)
        return said


@pytest.fixture(scope="module")
def audit(tmp_path_factory):
    return Audit(tmp_path_factory.mktemp("audit") / "data")


def test_jobs_are_found_by_what_they_have_in_common(audit):
    newest_first = audit.jobs[::-1]
    assert audit.listed() == newest_first
    assert audit.listed(person=audit.cleo.person) == newest_first[:2]
    assert audit.listed(lot="nh 24 0917") == [audit.jobs[4], audit.jobs[1]]
    assert audit.listed(exception="failed") == [audit.jobs[4], audit.jobs[1]]
    assert audit.listed(exception="failed", person=audit.ada.person) == [audit.jobs[1]]
    assert audit.listed(bundle=audit.workshop.bundle.sha256, engine_code="QL-19D4") == newest_first
    assert audit.listed(days=["2026-11-24", "2026-11-24"]) == newest_first
    assert audit.listed(days=["2026-11-25", "2026-11-30"]) == []
    assert audit.listed(text="weir") == newest_first[2:]
    assert audit.listed(text="QL-19") == newest_first
    assert audit.listed(text="%") == []
    assert audit.listed(tool="W7") == []


def test_a_list_comes_page_by_page(audit):
    pages, after = [], {}
    while after is not None:
        answer = audit.client.post("/api/audit/jobs", {"most": 2, **after}).json
        pages.append([row["job"] for row in answer["jobs"]])
        after = answer["next"] and {"after": answer["next"]}
    assert [len(page) for page in pages] == [2, 2, 1]
    assert [job for page in pages for job in page] == audit.jobs[::-1]


def test_a_row_tells_what_the_fold_comes_to(audit):
    answer = audit.client.post("/api/audit/jobs", {"exception": "failed"}).json
    row = answer["jobs"][0]
    assert (row["state"], row["worst"], row["exceptions"] > 0) == ("open", "failed", True)


def test_an_auditor_sees_his_scope_alone(audit):
    scope = {"jobs": audit.jobs[:2], "days": ["2026-01-01", "2026-12-31"], "values": ["words"]}
    client = audit.open_client(audit.workshop.enrol("auditor", scope=scope))
    rows = client.post("/api/audit/jobs", {}).json["jobs"]
    assert [row["job"] for row in rows] == audit.jobs[1::-1]
    assert {(row["vin"], row["plate"]) for row in rows} == {(None, None)}
    assert client.post("/api/audit/jobs", {"text": "WEIR"}).json["jobs"] == []
    assert client.post("/api/audit/population", {}).json["jobs"] == sorted(audit.jobs[:2])
    assert client.post("/api/bags", {"jobs": audit.jobs[3:]}).status_code == 404


def test_a_mechanic_finds_no_list(audit):
    client = audit.open_client(audit.workshop.enrol("mechanic"))
    for path in ("/api/audit/jobs", "/api/audit/population", "/api/bags"):
        assert client.post(path, {"jobs": []} if path == "/api/bags" else {}).status_code == 404


def test_words_that_may_be_a_customers_freeze_nothing(audit):
    answer = audit.client.post("/api/audit/population", {"text": "WEIR"})
    assert (answer.status_code, answer.json["code"]) == (422, "invalid")


def test_a_sample_is_drawn_again_out_of_its_file_alone(audit, tmp_path):
    frozen = audit.freeze(exception="failed")
    assert frozen.body["jobs"] == sorted([audit.jobs[1], audit.jobs[4]])
    refused = audit.client.post("/api/bags", {"jobs": [], "sample": frozen.id})
    assert (refused.status_code, refused.json["code"]) == (404, "unknown-sample")
    audit.draw(frozen.id, "heron", 1)
    audit.draw(frozen.id, "another, for the first was not liked", 1)
    drawn = draw(frozen.body["jobs"], bytes.fromhex(frozen.body["root"]), "heron", 1)
    answer = audit.client.post("/api/bags", {"jobs": drawn, "sample": frozen.id, "with": "vin"})
    file = tmp_path / "sample.zip"
    file.write_bytes(answer.data)
    answer.close()
    plate = "WEIR-1" if drawn == [audit.jobs[1]] else "LOCK-1"
    assert f"{plate}_2026-11-24.zip" in "".join(zipfile.ZipFile(file).namelist())
    key = audit.workshop.store.ledger.workshop
    said = CliRunner().invoke(main, ["sample", str(file), "--key", key, "--json"])
    assert said.exit_code == 0, said.output
    sample = json.loads(said.output)["sample"]
    assert (sample["jobs"], sample["word"], sample["population"]) == (drawn, "heron", 2)
    shown = CliRunner().invoke(main, ["sample", str(file), "--key", key]).output
    assert "SHA-256 of the root (32 bytes), then the word (UTF-8)" in shown
    judged = CliRunner().invoke(main, ["verify", str(file), "--key", key])
    assert judged.exit_code == 0, judged.output
    assert "1 of 1 bag is whole and unaltered." in judged.output


def test_the_console_makes_the_same_file(audit, tmp_path):
    frozen = audit.freeze(person=audit.ada.person)
    another = audit.workshop.enrol("auditor")
    hers = {"freeze": frozen.id, "word": "another auditor's", "count": 1}
    audit.workshop.push(another.write("audit.drawn", hers))
    audit.draw(frozen.id, "heron", 2)
    folder, out = str(audit.workshop.folder), tmp_path / "sample.zip"
    made = CliRunner().invoke(
        main, ["export", "--sample", frozen.id, "--data", folder, "--out", str(out)]
    )
    assert made.exit_code == 0, made.output
    verdict = verify_many(io.BytesIO(out.read_bytes()))
    assert (verdict.holds, len(verdict.bags)) == (True, 2)
    assert verdict.drawn.said[1].entry.body["word"] == "heron"


def test_the_console_puts_several_jobs_into_one_file(audit, tmp_path):
    data, out = ["--data", str(audit.workshop.folder)], tmp_path / "jobs.zip"
    two = [*audit.jobs[:2], "--out", str(out), "--with", "vin"]
    made = CliRunner().invoke(main, ["export", *two, *data])
    assert made.exit_code == 0, made.output
    assert "2 bags in one file" in made.output
    names = zipfile.ZipFile(out).namelist()
    assert names[:2] == ["jobs/WEIR-0_2026-11-24.zip", "jobs/WEIR-1_2026-11-24.zip"]
    judged = CliRunner().invoke(main, ["verify", str(out), "--json"])
    assert (judged.exit_code, json.loads(judged.output)["sample"]) == (0, None)
    assert (
        "nothing proves that none is left out"
        in CliRunner().invoke(main, ["verify", str(out)]).output
    )
    for wrong in ([], [*audit.jobs[:2], "--since", str(out)], [audit.jobs[0], "--sample", "ab"]):
        refused = CliRunner().invoke(main, ["export", *wrong, *data, "--out", str(tmp_path / "no")])
        assert refused.exit_code == 2
    no_sample = CliRunner().invoke(main, ["sample", str(out)])
    assert (no_sample.exit_code, "holds no sample" in no_sample.output) == (1, True)


def test_a_word_that_was_given_before_the_freeze_draws_nothing(audit):
    """Who brings the freeze late, after he has seen what his word draws, has no sample."""
    found = audit.client.post("/api/audit/population", {}).json
    frozen = audit.auditor.write("audit.frozen", {**found, "filter": {}})
    drawn = audit.auditor.write("audit.drawn", {"freeze": frozen.id, "word": "heron", "count": 1})
    audit.workshop.push(drawn)
    audit.workshop.push(frozen)
    assert audit.client.post("/api/bags", {"jobs": [], "sample": frozen.id}).status_code == 404


def test_a_call_that_no_job_was_opened_for_is_listed_and_never_drawn(audit):
    """There is no bag of it: the sample that drew it could not be taken away."""
    call = uuid7()
    audit.workshop.push(audit.workshop.enrol("owner").write("enquiry.taken", {}, call))
    assert call in audit.listed()
    assert call not in audit.client.post("/api/audit/population", {}).json["jobs"]


def test_an_owner_freezes_and_draws_nothing(audit):
    owner = audit.workshop.enrol("owner")
    found = audit.client.post("/api/audit/population", {}).json
    frozen = owner.write("audit.frozen", {**found, "filter": {}})
    audit.workshop.push(frozen)
    audit.draw(frozen.id, "heron", 1)
    assert audit.client.post("/api/bags", {"jobs": [], "sample": frozen.id}).status_code == 404


def test_an_auditor_reads_nothing_by_naming_it_in_a_finding(audit):
    """The hashes of all blobs stand in `blob.kept`: he would only have to name one."""
    scope = {"jobs": audit.jobs[:1], "days": ["2026-01-01", "2026-12-31"]}
    auditor = audit.workshop.enrol("auditor", scope=scope)
    client = audit.open_client(auditor)
    records = audit.workshop.store.ledger.job_entries(audit.jobs[3])
    blob = records[0][1].entry.body["vin"]["blob"]
    assert client.get(f"/api/blobs/{blob}").status_code == 404
    own = private_value("words", "no cold level was read")
    said = [
        auditor.write("audit.found", {"text": {"blob": blob}}),
        auditor.write("audit.found", {"text": {"blob": blob}, "about": audit.jobs[0]}),
        auditor.write("audit.found", {"text": ref(own), "about": audit.jobs[0]}),
    ]
    assert client.push(*said, blobs=(own,)).json["refused"] == []
    assert client.get(f"/api/blobs/{blob}").status_code == 404
    assert client.get(f"/api/blobs/{ref(own)['blob']}").data == own
    mechanic = audit.open_client(audit.workshop.enrol("mechanic"))
    assert mechanic.get(f"/api/blobs/{ref(own)['blob']}").status_code == 200  # who sees the job
    elsewhere = auditor.write("audit.found", {"text": ref(own), "about": audit.jobs[3]})
    (refused,) = client.push(elsewhere).json["refused"]
    assert refused["code"] == "not-found"


def told(client, **question):
    """Return the kinds of an audit that a device is told of, with the ids of their entries."""
    records, since = [], 0
    while True:
        page = client.get("/api/log", query_string={"since": since, **question}).json
        records += [parse(one["record"]).entry for one in page["records"]]
        if not page["more"]:
            return {one.id for one in records if one.kind.startswith("audit.")}
        since = page["next"]


@pytest.mark.parametrize("scope", [{}, {"scope": {"days": ["2026-01-01", "2026-12-31"]}}])
def test_of_audits_an_auditor_is_told_his_own_alone_and_a_phone_none(audit, scope):
    """
    Another's freeze names jobs that are none of his business, and gives a word before his; who
    knows what was drawn could make ready for it.
    """
    one, other = (audit.workshop.enrol("auditor", **scope) for _ in range(2))
    words, reply = (private_value("words", text) for text in ("no level was read", "it was"))
    frozen = one.write("audit.frozen", audit.auditor_freeze())
    drawn = one.write("audit.drawn", {"freeze": frozen.id, "word": "heron", "count": 1})
    found = one.write("audit.found", {"text": ref(words), "freeze": frozen.id})
    audit.workshop.push(frozen, drawn, found, blobs=(words,))
    owner = audit.workshop.enrol("owner")
    answer = owner.write("audit.answered", {"finding": found.id, "text": ref(reply)})
    audit.workshop.push(answer, blobs=(reply,))
    own = {frozen.id, drawn.id, found.id, answer.id}
    phone = audit.workshop.enrol("mechanic")
    his, anothers, phones, owners = map(audit.open_client, (one, other, phone, owner))
    for held in ({}, {"held": 0}):
        assert told(his, **held) == own
        assert told(anothers, **held) == set()
        assert told(phones, **held) == set()
        assert own <= told(owners, **held)
    for blob in (ref(words)["blob"], ref(reply)["blob"]):
        assert [asks.get(f"/api/blobs/{blob}").status_code for asks in (his, anothers, owners)] == [
            *(200, 404, 200)
        ]
    asked = {"jobs": [], "sample": frozen.id}
    refused = anothers.post("/api/bags", asked)
    assert (refused.status_code, refused.json["code"]) == (404, "unknown-sample")
    for asks in (his, owners):
        answer = asks.post("/api/bags", asked)
        assert "sample/records.txt" in unpacked(answer.data)
        answer.close()


def test_naming_anothers_value_in_a_finding_hides_it_from_nobody(audit):
    one, other = (audit.workshop.enrol("auditor") for _ in range(2))
    blob = audit.workshop.store.ledger.job_entries(audit.jobs[0])[0][1].entry.body["vin"]["blob"]
    audit.workshop.push(one.write("audit.found", {"text": {"blob": blob}}))
    assert audit.open_client(other).get(f"/api/blobs/{blob}").status_code == 200


def test_words_about_no_job_are_read_by_all_who_work_here(audit):
    own = private_value("words", "the list of permits is a year old")
    said = audit.auditor.write("audit.found", {"text": ref(own)})
    audit.workshop.push(said, blobs=(own,))
    owner = audit.workshop.enrol("owner")
    reply = private_value("words", "made anew yesterday")
    answer = owner.write("audit.answered", {"finding": said.id, "text": ref(reply)})
    audit.workshop.push(answer, blobs=(reply,))
    client = audit.open_client(audit.workshop.enrol("mechanic"))
    assert client.get(f"/api/blobs/{ref(reply)['blob']}").data == reply


def damages(files):
    """Yield what somebody might do to the file of a sample, and the code of what is found."""
    records = files["sample/records.txt"].decode()
    frozen = next(line for line in records.splitlines() if '"audit.frozen"' in line)
    drawn = next(line for line in records.splitlines() if '"audit.drawn"' in line)
    changed = {
        "wrong-signature": records.replace('"word":"heron"', '"word":"ibis"'),
        "no-draw": records.replace(f"{drawn}\n", ""),
        "no-freeze": records.replace(f"{frozen}\n", ""),
    }
    for code, text in changed.items():
        yield code, {**files, "sample/records.txt": text.encode()}
    yield "rule", {**files, "sample/rule.txt": b"The lowest places are drawn, mostly.\n"}
    yield "frozen-root", {**files, "sample/consistency.json": b'{"from":1,"path":[],"to":2}'}
    yield "checkpoint", {**files, "sample/checkpoint.txt": b""}
    yield "proofs", {**files, "sample/proofs.json": b"{}"}
    yield "missing", {name: data for name, data in files.items() if name != "sample/rule.txt"}
    bags = sorted(name for name in files if name.endswith(".zip"))
    listed = json.loads(files["bags.json"])
    fewer = [one for one in listed["bags"] if one["name"] != bags[0]]
    fewer_files = {name: data for name, data in files.items() if name != bags[0]}
    yield "drawn-missing", fewer_files | {"bags.json": canonical.dumps({**listed, "bags": fewer})}
    swapped = canonical.loads(files["bags.json"].replace(listed["bags"][0]["job"].encode(), OTHER))
    yield "not-drawn", {**files, "bags.json": canonical.dumps(swapped)}


OTHER = b"01935f2a-7c00-7000-8000-000000000001"


def test_what_is_done_to_a_sample_is_named_by_command_and_browser_alike(audit, peer, tmp_path):
    frozen = audit.freeze()
    audit.draw(frozen.id, "heron", 3)
    drawn = draw(frozen.body["jobs"], bytes.fromhex(frozen.body["root"]), "heron", 3)
    answer = audit.client.post("/api/bags", {"jobs": drawn, "sample": frozen.id})
    files, file = unpacked(answer.data), tmp_path / "sample.zip"
    answer.close()
    for code, changed in [(None, files), *damages(files)]:
        file.write_bytes(packed(changed))
        here = verify_many(io.BytesIO(file.read_bytes()))
        there = peer.call("verifyMany", str(file), {})
        assert {one["code"] for one in there["findings"]} == {one.code for one in here.findings}
        assert here.holds is (code is None), code
        assert code is None or code in {one.code for one in here.findings}
        assert (there["drawn"] or {}).get("jobs") == (list(here.drawn.jobs) if here.drawn else None)
