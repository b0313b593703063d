"""The desk: what needs eyes first, out of the fold and the workshop's statements."""

import sqlite3
from datetime import timedelta

import pytest

from twoturns.store import scrub, summaries
from twoturns.store.backup import back_up
from twoturns.store.bundles import publish
from twoturns.store.database import Database
from twoturns.store.desk import desk as desk_of
from twoturns.store.summaries import MOST_LOOKS_AWAY, Folding, Lull, fill, keep, renew
from workshop import NOON, opening, private_value, publish_tiny, ref, tiny_bundle, uuid7


class Jobs:
    """Opens jobs of the tiny procedure and reads the desk."""

    def __init__(self, workshop, open_client):
        self.workshop = workshop
        self.bundle = publish_tiny(workshop.store)
        self.phone, self.owner = workshop.enrol("mechanic"), workshop.enrol("owner")
        self.client = open_client(self.owner)

    def open(self) -> str:
        job, values = uuid7(), (private_value("vin", "TT1"), private_value("plate", "W1"))
        body = opening(*values, bundle=self.bundle.sha256)
        self.workshop.push(self.phone.write("job.opened", body, job), blobs=values)
        return job

    def say(self, kind: str, body: dict, job: str | None = None, by=None):
        said = (by or self.phone).write(kind, body, job)
        assert self.workshop.push(said).refused == []
        return said

    def approve(self, job: str) -> None:
        self.owner.heads[job] = self.phone.heads[job]
        self.say("review.approved", {}, job, by=self.owner)
        self.phone.heads[job] = self.owner.heads[job]

    def desk(self) -> list[dict]:
        answer = self.client.get("/api/desk")
        assert answer.status_code == 200
        return answer.json["jobs"]


@pytest.fixture
def jobs(workshop, open_client) -> Jobs:
    return Jobs(workshop, open_client)


def test_a_job_shows_its_vehicle_and_how_far_it_has_come(jobs):
    job = jobs.open()
    jobs.say("step.done", {"step": "lock_in", "proof": []}, job)
    (line,) = jobs.desk()
    assert (line["vehicle"], line["plate"]) == ("Ombral Hayfork", "W1")
    assert (line["state"], line["done"], line["steps"]) == ("open", 1, 5)
    assert (line["exceptions"], line["worst"], line["questions"]) == (0, None, 0)


def test_what_needs_eyes_comes_first(jobs):
    plain, broken, asked, closed, changed = (jobs.open() for _ in range(5))
    jobs.say("step.done", {"step": "two_turns", "proof": []}, broken)
    body = {"step": "lock_in", "question": {"blob": "a" * 64}}
    jobs.say("review.returned", body, asked, by=jobs.owner)
    jobs.say("job.closed", {"end": "finished"}, closed)
    jobs.approve(changed)
    jobs.say("step.done", {"step": "lock_in", "proof": []}, changed)
    lines = jobs.desk()
    assert lines[0]["job"] == changed
    assert lines[0]["state"] == "changed"
    order = [line["job"] for line in lines]
    assert order.index(broken) < order.index(plain)
    assert order.index(asked) < order.index(plain)
    assert order[-1] == plain
    by_job = {line["job"]: line for line in lines}
    assert "out-of-order" in by_job[broken]["codes"]
    assert by_job[asked]["questions"] == 1
    assert by_job[closed]["state"] == "closed"


def test_a_finding_asks_for_eyes_until_the_customer_has_refused_it_or_it_is_settled(jobs):
    job, plain = jobs.open(), jobs.open()
    words = private_value("words", "oil at the seal")
    noted = jobs.phone.write("finding.noted", {"step": "lock_in", "words": ref(words)}, job)
    jobs.workshop.push(noted, blobs=(words,))

    def findings():
        lines = {line["job"]: line["findings"] for line in jobs.desk()}
        assert lines.pop(plain) == 0
        return lines[job]

    assert [line["job"] for line in jobs.desk()] == [job, plain]
    assert findings() == 1
    said = {"finding": noted.id, "how": "call"}
    jobs.say("finding.answered", {**said, "answer": "no"}, job)
    assert findings() == 0
    jobs.say("finding.answered", {**said, "answer": "yes"}, job)
    assert findings() == 1
    jobs.say("finding.settled", {"finding": noted.id, "how": "done"}, job)
    assert findings() == 0


def test_a_line_says_who_is_on_a_job_when_it_is_promised_and_why_it_rests(jobs):
    job = jobs.open()
    (line,) = jobs.desk()
    assert (line["planned"], line["parked"]) == (None, None)
    promised = "2026-11-25T15:00:00.000Z"
    jobs.say("job.planned", {"promised": promised}, job)
    jobs.say("job.parked", {"why": "part", "part": "seal 4.2"}, job)
    (line,) = jobs.desk()
    assert line["planned"] == {"person": None, "promised": promised, "twice": False}
    assert line["parked"] == {"why": "part", "part": "seal 4.2"}
    owners = {"person": jobs.owner.person}
    jobs.say("job.planned", owners, job, by=jobs.owner)  # who had not heard of that
    jobs.say("job.resumed", {}, job)
    (line,) = jobs.desk()
    assert line["planned"]["twice"]
    assert line["parked"] is None


def test_the_line_follows_the_job_and_is_not_folded_twice(jobs, monkeypatch):
    job = jobs.open()
    (before,) = jobs.desk()
    assert before["done"] == 0
    assert renew(jobs.workshop.store, set()) == 1
    monkeypatch.setattr("twoturns.store.summaries.fold", lambda *_: pytest.fail("folded again"))
    assert jobs.desk() == [before]
    assert renew(jobs.workshop.store, set()) == 0
    monkeypatch.undo()
    jobs.say("step.done", {"step": "lock_in", "proof": []}, job)
    (after,) = jobs.desk()
    assert after["done"] == 1


def test_looking_at_the_desk_writes_nothing(jobs, monkeypatch):
    job = jobs.open()
    monkeypatch.setattr(Database, "write", lambda _: pytest.fail("the desk writes"))
    assert [line["job"] for line in jobs.desk()] == [job]


def test_a_job_that_changes_while_it_is_folded_is_folded_once_more(jobs, monkeypatch):
    job, store = jobs.open(), jobs.workshop.store
    summary = Folding.summary

    def and_then_it_changes(folding, row):
        monkeypatch.undo()
        said = summary(folding, row)
        jobs.say("step.done", {"step": "lock_in", "proof": []}, job)
        return said

    monkeypatch.setattr(Folding, "summary", and_then_it_changes)
    assert renew(store, set()) == 1
    assert jobs.desk()[0]["done"] == 1
    assert renew(store, set()) == 1
    assert jobs.desk()[0]["done"] == 1
    assert renew(store, set()) == 0


def test_a_job_that_cannot_be_folded_takes_no_other_with_it(jobs, monkeypatch, caplog):
    """What nobody foresaw, of one job's entries, ends no desk, no list and no thread."""
    bad, good = jobs.open(), jobs.open()
    store, given_up, folded = jobs.workshop.store, set(), summaries.log_of

    def log_of(records):
        if any(one.entry.job == bad for _, one, _ in records):
            raise OverflowError("a figure of 400 digits")
        return folded(records)

    monkeypatch.setattr(summaries, "log_of", log_of)
    assert {line["job"]: line["codes"] for line in jobs.desk()} == {bad: ["not-folded"], good: []}
    assert f"job {bad} cannot be folded" in caplog.text
    assert renew(store, given_up) == 2
    assert renew(store, given_up) == 0  # until it changes
    assert [one["job"] for one in store.views.unfolded()] == [bad]
    monkeypatch.undo()
    assert {line["job"]: line["codes"] for line in jobs.desk()} == {bad: [], good: []}


@pytest.mark.parametrize("error", [sqlite3.OperationalError("disk I/O error"), KeyError("job")])
def test_a_look_that_ends_ends_no_thread(jobs, monkeypatch, caplog, error):
    job, renewing = jobs.open(), summaries.Renewing(jobs.workshop.store)

    def ends(*_):
        raise error

    for module, ended in ((summaries, "renew"), (scrub, "is_due")):
        monkeypatch.setattr(module, ended, ends)
    for _ in range(3):
        renewing.look()
    scrub.look(jobs.workshop.store, lambda: jobs.workshop.now)
    assert "folding for the desk stopped" in caplog.text
    assert "reading the blobs through stopped" in caplog.text
    monkeypatch.undo()
    renewing.look()
    assert [one["job"] for one in jobs.workshop.store.views.unfolded()] == []
    assert [line["job"] for line in jobs.desk()] == [job]


def test_a_job_without_its_procedure_is_folded_when_that_comes(workshop, open_client):
    owner, given_up = workshop.enrol("owner"), set()
    bundle, values = tiny_bundle(), (private_value("vin", "TT1"), private_value("plate", "W1"))
    said = owner.write("job.opened", opening(*values, bundle=bundle.sha256), uuid7())
    workshop.push(said, blobs=values)
    assert renew(workshop.store, given_up) == 1
    assert renew(workshop.store, given_up) == 0  # that it has none is kept
    publish(workshop.store, bundle, NOON)
    assert renew(workshop.store, given_up) == 1
    assert renew(workshop.store, given_up) == 0
    (line,) = open_client(owner).get("/api/desk").json["jobs"]
    assert (line["vehicle"], line["notices"]) == ("Ombral Hayfork", [])


def test_a_procedure_that_cannot_be_read_is_nothing_to_be_kept(jobs):
    job, store, given_up = jobs.open(), jobs.workshop.store, set()
    path = store.blobs.path(jobs.bundle.sha256)
    whole = path.read_bytes()
    path.write_bytes(b"x")
    assert renew(store, given_up) == 1
    assert renew(store, given_up) == 0
    assert [line["vehicle"] for line in jobs.desk()] == [None]
    path.write_bytes(whole)
    assert [(line["job"], line["vehicle"]) for line in jobs.desk()] == [(job, "Ombral Hayfork")]


def test_a_gap_shows_until_it_is_filled(jobs):
    job = jobs.open()
    first = jobs.phone.write("step.done", {"step": "lock_in", "proof": []}, job)
    second = jobs.phone.write("job.taken", {}, job)
    jobs.workshop.push(second)
    (line,) = jobs.desk()
    assert line["codes"] == ["gap"]
    jobs.workshop.push(first)
    (line,) = jobs.desk()
    assert line["codes"] == []


def test_a_recall_shows_on_a_job_long_approved(jobs):
    other, job = jobs.open(), jobs.open()
    # The mechanic typed what the recall prints otherwise.
    part = {"step": "belt_on", "name": "belt", "part": "belt", "lot": "l-1"}
    jobs.say("part.fitted", part, job)
    jobs.approve(job)
    assert [line["job"] for line in jobs.desk()] == [other, job]
    stated = recall(jobs, "L1")
    lines = jobs.desk()
    assert [line["job"] for line in lines] == [job, other]
    assert lines[0]["notices"] == [
        {
            "code": "lot-recalled",
            "message": "lot L1 is recalled: teeth shear",
            "lot": "L1",
            "tool": None,
            "of": stated,
            "until": None,
        }
    ]


BELT = {"step": "belt_on", "name": "belt", "part": "belt"}
WHY = {"blob": "c" * 64}


def recall(jobs: Jobs, lot: str, **more: str) -> str:
    body = {"lot": lot, "because": "teeth shear", **more}
    return jobs.say("lot.recalled", body, by=jobs.owner).id


def notice_codes(jobs: Jobs) -> list[str]:
    (line,) = jobs.desk()
    return [one["code"] for one in line["notices"]]


def test_a_recall_stands_until_the_part_is_replaced(jobs):
    job = jobs.open()
    jobs.say("part.fitted", BELT | {"lot": "L1"}, job)
    recall(jobs, "L1")
    assert notice_codes(jobs) == ["lot-recalled"]
    jobs.say("part.fitted", BELT | {"name": "other", "lot": "L2"}, job)
    assert notice_codes(jobs) == ["lot-recalled"]  # another part, in another place
    jobs.say("part.fitted", BELT | {"lot": "L2"}, job)
    assert notice_codes(jobs) == []
    recall(jobs, "l-2")
    assert notice_codes(jobs) == ["lot-recalled"]


def test_a_recall_stands_until_the_owner_takes_the_part_over(jobs):
    job = jobs.open()
    fitted = jobs.say("part.fitted", BELT | {"lot": "L1"}, job).id
    stated = recall(jobs, "L1")
    borne = {"recall": stated, "parts": [fitted], "because": WHY}
    jobs.say("recall.borne", borne, job)  # the mechanic may not: it is kept and doubted
    assert "lot-recalled" in notice_codes(jobs)
    jobs.say("recall.borne", borne, job, by=jobs.owner)
    assert notice_codes(jobs) == []
    again = recall(jobs, "L1")  # another recall of that lot is another matter
    assert notice_codes(jobs) == ["lot-recalled"]
    jobs.say("recall.borne", borne | {"recall": again}, job, by=jobs.owner)
    assert notice_codes(jobs) == []


def test_what_was_finished_or_approved_against_a_recall_stands_on_top(jobs):
    clean, before, against = (jobs.open() for _ in range(3))
    for job in (before, against):
        jobs.say("part.fitted", BELT | {"lot": "L1"}, job)
    jobs.say("job.closed", {"end": "finished"}, before)
    jobs.approve(before)
    jobs.say("step.done", {"step": "lock_in", "proof": []}, before)  # changed: stands high
    recall(jobs, "L1")
    jobs.say("job.closed", {"end": "finished"}, against)
    lines = jobs.desk()
    assert [line["job"] for line in lines] == [against, before, clean]
    codes = [[one["code"] for one in line["notices"]] for line in lines]
    assert codes == [["closed-against-recall", "lot-recalled"], ["lot-recalled"], []]
    said = lines[0]["notices"][0]
    assert said["message"] == "finished against the recall of lot L1: teeth shear"
    assert (said["lot"], said["of"]) == ("L1", lines[1]["notices"][0]["of"])
    jobs.approve(against)  # by an older app: it is kept, and told
    assert "approved-against-recall" in [one["code"] for one in jobs.desk()[0]["notices"]]


def test_an_end_that_leaves_the_work_open_is_not_against_a_recall(jobs):
    job = jobs.open()
    jobs.say("part.fitted", BELT | {"lot": "L1"}, job)
    recall(jobs, "L1")
    jobs.say("job.closed", {"end": "stopped"}, job)
    assert notice_codes(jobs) == ["lot-recalled"]


def test_a_recall_and_a_withdrawal_never_age_out_of_sight(jobs):
    recalled, plain = jobs.open(), jobs.open()
    fitted = jobs.say("part.fitted", BELT | {"lot": "L1"}, recalled).id
    for job in (recalled, plain):
        jobs.approve(job)
    long_after = "2036-11-24T12:00:00.000Z"

    def shown() -> list[str]:
        return [line["job"] for _, line in desk_of(jobs.workshop.store, long_after)]

    assert shown() == []
    stated = recall(jobs, "L1")
    assert shown() == [recalled]
    borne = {"recall": stated, "parts": [fitted], "because": WHY}
    jobs.say("recall.borne", borne, recalled, by=jobs.owner)
    assert shown() == [recalled]  # changed since it was approved
    jobs.phone.heads[recalled] = jobs.owner.heads[recalled]
    jobs.approve(recalled)
    assert shown() == []
    withdrawn = {"bundle": jobs.bundle.sha256, "because": "a wrong figure"}
    jobs.say("bundle.withdrawn", withdrawn, by=jobs.owner)
    assert sorted(shown()) == sorted([recalled, plain])


def test_a_photo_of_an_earlier_job_shows_on_the_later_one(jobs):
    photo = {"step": "belt_on", "name": "whole_drive", "blob": "a" * 64, "size": 9}
    photo |= {"type": "image/jpeg", "width": 0, "height": 0, "how": "picked"}
    first, second, third = (jobs.open() for _ in range(3))
    jobs.say("photo.taken", photo, first)
    jobs.say("photo.taken", photo, second)
    jobs.say("photo.taken", photo | {"blob": "b" * 64}, third)
    codes = {line["job"]: [one["code"] for one in line["notices"]] for line in jobs.desk()}
    assert codes == {first: [], second: ["shown-before"], third: []}
    jobs.say("photo.taken", photo | {"blob": "b" * 64, "name": "again"}, third)
    codes = {line["job"]: [one["code"] for one in line["notices"]] for line in jobs.desk()}
    assert codes == {first: [], second: ["shown-before"], third: ["shown-before"]}


def test_a_tool_out_of_calibration_on_the_day_shows(jobs):
    tool = {"tool": "W7", "type": "torque_wrench", "label": "The small wrench"}
    jobs.say("tool.registered", tool, by=jobs.owner)
    job = jobs.open()
    reading = {"step": "belt_on", "name": "t", "value": "26.5", "unit": "N·m", "tool": "W7"}
    jobs.say("reading.taken", reading, job)
    late = {"tool": "W7", "on": "2026-11-25", "due": "2027-11-25"}
    jobs.say("tool.calibrated", late, by=jobs.owner)
    (line,) = jobs.desk()
    assert [notice["code"] for notice in line["notices"]] == ["tool-not-calibrated"]
    jobs.say("tool.calibrated", {**late, "on": "2026-11-01"}, by=jobs.owner)
    (line,) = jobs.desk()
    assert line["notices"] == []


def test_a_recall_stands_until_the_owner_says_that_it_was_replaced(jobs):
    job = jobs.open()
    jobs.say("part.fitted", BELT | {"lot": "L1"}, job)
    stated = recall(jobs, "L1")
    jobs.say("recall.followed", {"of": stated, "how": "replaced"}, job)  # a mechanic may not
    assert "lot-recalled" in notice_codes(jobs)
    jobs.owner.heads[job] = jobs.phone.heads[job]
    jobs.say("recall.followed", {"of": stated, "how": "told"}, job, by=jobs.owner)
    assert "lot-recalled" in notice_codes(jobs)
    jobs.say("recall.followed", {"of": stated, "how": "replaced"}, job, by=jobs.owner)
    assert notice_codes(jobs) == []


def test_what_is_to_be_followed_up_by_a_day_comes_first(jobs):
    changed, old, dated = (jobs.open() for _ in range(3))
    jobs.approve(changed)
    jobs.say("step.done", {"step": "lock_in", "proof": []}, changed)
    jobs.say("part.fitted", BELT | {"lot": "L1"}, old)
    jobs.say("part.fitted", BELT | {"lot": "L2"}, dated)
    jobs.approve(dated)
    recall(jobs, "L1")
    recall(jobs, "L2", until="2026-12-01")
    lines = jobs.desk()
    assert [line["job"] for line in lines] == [dated, changed, old]
    assert lines[0]["notices"][0]["until"] == "2026-12-01"


READ = {"step": "belt_on", "name": "t", "value": "26", "unit": "N·m", "tool": "tw 2"}
READ |= {"low": "24.96", "high": "27.04"}
FOUND = {"tool": "TW-2", "on": "2026-11-24", "unit": "N·m", "allowed_percent": "4"}
FOUND |= {"points": [{"nominal": n, "found": f} for n, f in (("20", "18.2"), ("100", "91"))]}


def test_a_wrench_found_out_shows_on_a_job_long_approved_until_it_is_settled(jobs):
    other, job = jobs.open(), jobs.open()
    jobs.say("reading.taken", READ, job)
    jobs.say("reading.taken", READ | {"low": "20"}, other)  # inside its limits all the same
    jobs.approve(job)
    check = jobs.say("tool.checked", FOUND, by=jobs.owner).id
    lines = jobs.desk()
    assert [(line["job"], line["notices"]) for line in lines] == [
        (
            job,
            [
                {
                    "code": "tool-found-out",
                    "message": "TW-2 was found out on 2026-11-24: it delivered 9 % less than it"
                    " was set to",
                    "lot": None,
                    "tool": "TW-2",
                    "of": check,
                    "until": None,
                }
            ],
        ),
        (other, []),
    ]
    jobs.owner.heads[job] = jobs.phone.heads[job]
    jobs.say("recall.followed", {"of": check, "how": "retightened"}, job, by=jobs.owner)
    assert [line["notices"] for line in jobs.desk()] == [[], []]


def test_a_wrench_of_many_jobs_is_told_of_the_first_at_once_and_of_all_when_they_are_renewed(
    jobs, monkeypatch
):
    monkeypatch.setattr("twoturns.store.desk.MOST_LOGS", 2)
    for _ in range(4):
        jobs.say("reading.taken", READ, jobs.open())
    while renew(jobs.workshop.store, set()):
        pass
    jobs.say("tool.checked", FOUND, by=jobs.owner)
    told = [bool(line["notices"]) for line in jobs.desk()]
    assert (sum(told), len(told)) == (2, 4)
    while renew(jobs.workshop.store, set()):
        pass
    assert all(line["notices"] for line in jobs.desk())


def test_a_check_speaks_of_jobs_since_the_check_before_and_leaves_older_ones_alone(jobs):
    old = jobs.open()
    jobs.say("reading.taken", READ, old)
    jobs.workshop.now += timedelta(days=400)
    good = {"tool": "TW-2", "on": "2027-06-01", "due": "2028-06-01"}
    jobs.say("tool.calibrated", good, by=jobs.owner)
    new = jobs.open()
    while renew(jobs.workshop.store, set()):
        pass
    jobs.say("reading.taken", READ, new)
    while renew(jobs.workshop.store, set()):
        pass
    jobs.say("tool.checked", FOUND | {"on": "2027-12-20"}, by=jobs.owner)
    asked = [row["job"] for row in jobs.workshop.store.views.unfolded()]
    assert asked == [new]


def test_a_good_check_before_ends_what_a_bad_one_doubts(jobs):
    job = jobs.open()
    jobs.say("reading.taken", READ, job)
    jobs.say("tool.checked", FOUND | {"on": "2026-12-24"}, by=jobs.owner)
    assert notice_codes(jobs) == ["tool-found-out"]
    good = {"tool": "tw-2", "on": "2026-11-25", "due": "2027-11-25"}
    jobs.say("tool.calibrated", good, by=jobs.owner)
    assert notice_codes(jobs) == []


def test_a_check_that_says_nonsense_doubts_all_and_breaks_nothing(jobs):
    job = jobs.open()
    jobs.say("reading.taken", READ, job)
    points = [{"nominal": "0", "found": "-3"}]
    jobs.say("tool.checked", FOUND | {"points": points}, by=jobs.owner)
    (line,) = jobs.desk()
    assert [one["message"] for one in line["notices"]] == [
        "TW-2 was found out on 2026-11-24: what it delivered is no torque"
    ]


def pages(client, path: str, most: int) -> list[list[str]]:
    """Return the jobs of a list, page by page."""
    found, after = [], ""
    while True:
        answer = client.get(f"{path}?most={most}{after}").json
        found.append([line["job"] for line in answer["jobs"]])
        if answer["next"] is None:
            return found
        after = f"&after={answer['next']}"


@pytest.mark.parametrize("is_kept", [False, True])
def test_the_desk_in_pages_is_the_desk(jobs, is_kept):
    made = [jobs.open() for _ in range(7)]
    jobs.say("step.done", {"step": "two_turns", "proof": []}, made[4])
    for job in made[5:]:
        jobs.say("job.closed", {"end": "finished"}, job)
    jobs.approve(made[6])
    if is_kept:
        renew(jobs.workshop.store, set(), most=100)
        jobs.say("step.done", {"step": "lock_in", "proof": []}, made[2])  # one that is not
    whole = [line["job"] for line in jobs.desk()]
    assert (whole[0], whole[-1], len(whole)) == (made[4], made[6], 7)
    for most in (1, 3, 6, 7):
        found = pages(jobs.client, "/api/desk", most)
        assert [job for page in found for job in page] == whole
        assert [len(page) for page in found[:-1]] == [most] * (len(found) - 1)


def test_what_the_workshop_states_moves_jobs_that_are_kept_and_folds_none(jobs, monkeypatch):
    store, withdrawn = jobs.workshop.store, {"bundle": jobs.bundle.sha256, "because": "a figure"}
    first, second = jobs.open(), jobs.open()
    jobs.say("part.fitted", BELT | {"lot": "L1"}, second)
    renew(store, set())
    monkeypatch.setattr("twoturns.store.summaries.fold", lambda *_: pytest.fail("folded again"))
    recall(jobs, "L1")
    for _ in range(2):  # by the desk itself, then as it is kept
        assert [line["job"] for line in jobs.desk()] == [second, first]
        renew(store, set())
    jobs.say("bundle.withdrawn", withdrawn, by=jobs.owner)
    assert renew(store, set()) == 2
    told = {line["job"]: len(line["notices"]) for line in jobs.desk()}
    assert told == {first: 1, second: 2}


def test_after_a_rebuild_the_desk_folds_nothing_by_however_many_it_is_filled(jobs, monkeypatch):
    store = jobs.workshop.store
    for _ in range(6):
        jobs.say("step.done", {"step": "lock_in", "proof": []}, jobs.open())
    before, heard = jobs.desk(), []
    monkeypatch.setattr("twoturns.store.summaries.AT_ONCE", 2)
    monkeypatch.setattr("twoturns.store.cores.DONE_HERE", 1)
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    store.rebuild()
    fill(store, lambda *said: heard.append(said))
    assert heard == [(0, 6), (2, 6), (4, 6)]
    assert store.views.unfolded() == []
    monkeypatch.setattr("twoturns.store.summaries.fold", lambda *_: pytest.fail("folded again"))
    assert jobs.desk() == before


def test_a_statement_that_comes_while_a_summary_is_made_is_not_lost(jobs, monkeypatch):
    job, store = jobs.open(), jobs.workshop.store
    jobs.say("part.fitted", BELT | {"lot": "L1"}, job)
    summary = Folding.summary

    def and_then_a_recall(folding, row):
        monkeypatch.undo()
        said = summary(folding, row)
        recall(jobs, "L1")
        return said

    monkeypatch.setattr(Folding, "summary", and_then_a_recall)
    assert renew(store, set()) == 1
    assert notice_codes(jobs) == ["lot-recalled"]
    assert renew(store, set()) == 1
    assert renew(store, set()) == 0
    assert notice_codes(jobs) == ["lot-recalled"]


def test_a_summary_that_was_long_in_the_making_takes_no_newer_ones_place(jobs):
    """`rebuild` fills the desk beside the server, whose thread may be done with a job before it."""
    job, store = jobs.open(), jobs.workshop.store
    rows, folding = store.views.unfolded(), Folding(store)
    made = [(row, folding.summary(row)) for row in rows]
    jobs.say("step.done", {"step": "two_turns", "proof": []}, job)
    assert renew(store, set()) == 1
    before = jobs.desk()
    keep(store, made)
    assert jobs.desk() == before
    assert before[0]["exceptions"] > 0


def test_all_jobs_are_listed_the_one_heard_of_last_first(jobs):
    made = [jobs.open() for _ in range(5)]
    jobs.say("step.done", {"step": "lock_in", "proof": []}, made[1])
    order = [made[1], made[4], made[3], made[2], made[0]]
    for most in (2, 5):
        assert [job for page in pages(jobs.client, "/api/jobs", most) for job in page] == order


def test_a_place_that_is_none_is_refused(jobs):
    for path in ("/api/desk", "/api/jobs"):
        for after in ("x", "1", f"-1.{uuid7()}", "1.x"):
            answer = jobs.client.get(f"{path}?after={after}")
            assert (answer.status_code, answer.json["code"]) == (422, "invalid")


def test_a_job_whose_procedure_is_not_here_is_shown_all_the_same(workshop, open_client):
    owner = workshop.enrol("owner")
    job = workshop.open_job(owner)
    (line,) = open_client(owner).get("/api/desk").json["jobs"]
    assert (line["job"], line["vehicle"], line["codes"]) == (job, None, ["unknown"])


def test_a_procedure_of_a_phones_own_making_is_not_gone_by(jobs):
    own = tiny_bundle(edition=7)  # whole, and never published
    jobs.workshop.store.ledger.keep([jobs.workshop.store.blobs.put(own.canonical)], NOON)
    jobs.bundle = own
    job = jobs.open()
    (line,) = jobs.desk()
    assert (line["job"], line["vehicle"], line["codes"]) == (job, None, ["unknown"])
    assert [notice["code"] for notice in line["notices"]] == ["bundle-not-published"]


def test_a_rebuild_comes_to_the_same_desk(jobs):
    for _ in range(3):
        jobs.say("step.done", {"step": "lock_in", "proof": []}, jobs.open())
    before = jobs.desk()
    jobs.workshop.store.rebuild()
    assert jobs.desk() == before


def test_the_desk_says_how_much_is_backed_up(jobs, tmp_path):
    size = back_up(jobs.workshop.store, tmp_path / "backup", NOON).size
    answer = jobs.client.get("/api/desk").json
    assert (answer["size"], answer["backed_up"]) == (size + 1, size)
    outside = {"size": size + 1, "until": "2026-11-24T12:00:00.001Z"}
    jobs.say("backup.outside", outside, by=jobs.owner)
    assert jobs.client.get("/api/desk").json["backed_up"] == size + 1
    jobs.say("backup.outside", outside | {"size": 1_000_000_000}, by=jobs.owner)
    assert jobs.client.get("/api/desk").json["backed_up"] == size + 2  # not what came after it
    jobs.workshop.now += timedelta(seconds=1)
    assert jobs.client.get("/api/desk").json["backed_up"] == size


def test_folding_waits_while_phones_send_and_not_for_ever():
    lull = Lull()
    assert [lull.is_one(size) for size in (7, 7, 7)] == [False, True, True]
    assert [lull.is_one(size) for size in (8, 8)] == [False, True]
    told = [lull.is_one(size) for size in range(100, 100 + 2 * MOST_LOOKS_AWAY + 2)]
    assert told.count(True) == 2
    assert told[MOST_LOOKS_AWAY] is True
