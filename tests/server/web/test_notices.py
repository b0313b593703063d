"""What speaks against a job, on its page and at the desk, until its owner settles it."""

import pytest

from workshop import opening, private_value, publish_tiny, ref, uuid7

WRENCH = {"tool": "TW-2", "type": "torque_wrench", "label": "the long one"}
WHY = private_value("words", "It was at the maker's; the slip lies in the folder.")


@pytest.fixture
def shop(workshop):
    workshop.bundle = publish_tiny(workshop.store)
    workshop.phone, workshop.owner = workshop.enrol("mechanic"), workshop.enrol("owner")
    workshop.push(workshop.owner.write("tool.registered", WRENCH))
    return workshop


def job_with_the_wrench(shop) -> str:
    job, values = uuid7(), (private_value("vin", "TT1"), private_value("plate", "W1"))
    shop.push(
        shop.phone.write("job.opened", opening(*values, bundle=shop.bundle.sha256), job),
        blobs=values,
    )
    read = {"step": "belt_on", "name": "torque", "value": "26", "unit": "N·m", "tool": "tw 2"}
    shop.push(shop.phone.write("reading.taken", read, job))
    return job


def settled(shop, job: str, notice: str, *, by=None, about: str | None = None):
    body = {"notice": notice, "because": ref(WHY)} | ({"about": about} if about else {})
    who = by or shop.owner
    who.heads[job] = list(shop.phone.heads[job])  # who settles has seen the job
    said = who.write("notice.settled", body, job)
    assert shop.push(said, blobs=(WHY,)).refused == []
    return said


def codes(client) -> list[list[str]]:
    return [
        [one["code"] for one in line["notices"]] for line in client.get("/api/desk").json["jobs"]
    ]


def page(client, job: str) -> list[tuple[str, str | None, bool]]:
    answer = client.get(f"/api/jobs/{job}/notices").json["notices"]
    return [(one["code"], one["tool"], one["is_settled"]) for one in answer]


def test_a_notice_stands_on_its_jobs_page_and_at_the_desk_until_it_is_settled(shop, open_client):
    client, job = open_client(shop.owner), job_with_the_wrench(shop)
    assert codes(client) == [["tool-not-calibrated"]]
    assert page(client, job) == [("tool-not-calibrated", "TW-2", False)]
    settled(shop, job, "tool-not-calibrated", about="TW-2")
    assert codes(client) == [[]]
    assert page(client, job) == [("tool-not-calibrated", "TW-2", True)]
    assert page(open_client(shop.enrol("auditor")), job) == page(client, job)


def test_a_word_settles_what_it_names_and_nothing_else(shop, open_client):
    client, job = open_client(shop.owner), job_with_the_wrench(shop)
    settled(shop, job, "tool-not-calibrated", about="TW-3")
    settled(shop, job, "shown-before")
    assert codes(client) == [["tool-not-calibrated"]]


def test_a_mechanic_settles_nothing(shop, open_client):
    client, job = open_client(shop.owner), job_with_the_wrench(shop)
    settled(shop, job, "tool-not-calibrated", about="TW-2", by=shop.phone)
    assert page(client, job) == [("tool-not-calibrated", "TW-2", False)]


def test_two_owners_who_settle_one_notice_at_once_are_both_kept(shop, open_client):
    client, job = open_client(shop.owner), job_with_the_wrench(shop)
    other = shop.enrol("owner")
    for owner in (shop.owner, other):
        settled(shop, job, "tool-not-calibrated", about="TW-2", by=owner)
    assert codes(client) == [[]]
    log = client.get(f"/api/jobs/{job}/log").json["records"]
    assert sum('"notice.settled"' in one["record"] for one in log) == 2


def test_a_word_covers_the_uses_of_a_tool_that_it_had_seen_and_no_later_one(shop, open_client):
    client, job = open_client(shop.owner), job_with_the_wrench(shop)
    settled(shop, job, "tool-not-calibrated", about="TW-2")
    other = {"step": "belt_on", "name": "torque", "value": "26", "unit": "N·m", "tool": "TW-3"}
    shop.push(shop.phone.write("reading.taken", other, job))
    assert codes(client) == [[]]
    shop.push(shop.phone.write("reading.taken", other | {"tool": "tw-2"}, job))
    assert codes(client) == [["tool-not-calibrated"]]
    assert page(client, job) == [("tool-not-calibrated", "TW-2", False)]
    settled(shop, job, "tool-not-calibrated", about="TW-2")
    assert codes(client) == [[]]


def test_a_use_that_comes_in_first_and_was_not_seen_is_not_covered(shop, open_client):
    """A phone without a line used it: the owner who settled what he saw knew nothing of it."""
    client, job = open_client(shop.owner), job_with_the_wrench(shop)
    seen = list(shop.phone.heads[job])
    read = {"step": "belt_on", "name": "torque", "value": "26", "unit": "N·m", "tool": "TW-2"}
    shop.push(shop.phone.write("reading.taken", read, job))
    shop.phone.heads[job] = seen
    settled(shop, job, "tool-not-calibrated", about="TW-2")
    assert codes(client) == [["tool-not-calibrated"]]


def test_a_withdrawal_that_is_stated_again_is_told_again(shop, open_client):
    client, job = open_client(shop.owner), job_with_the_wrench(shop)
    shop.push(
        shop.owner.write(
            "tool.calibrated", {"tool": "TW-2", "on": "2020-01-01", "due": "2099-01-01"}
        )
    )
    for because in ("a new edition is out", "its torque is wrong"):
        said = {"bundle": shop.bundle.sha256, "because": because}
        shop.push(shop.owner.write("bundle.withdrawn", said))
        assert codes(client) == [["bundle-withdrawn"]]
        settled(shop, job, "bundle-withdrawn")
        assert codes(client) == [[]]


def test_a_recall_is_not_settled_by_a_word(shop, open_client):
    client, job = open_client(shop.owner), job_with_the_wrench(shop)
    part = {"step": "belt_on", "name": "belt", "part": "belt", "lot": "L1"}
    shop.push(shop.phone.write("part.fitted", part, job))
    shop.push(shop.owner.write("lot.recalled", {"lot": "L1", "because": "teeth shear"}))
    settled(shop, job, "lot-recalled")
    settled(shop, job, "tool-not-calibrated", about="TW-2")
    assert codes(client) == [["lot-recalled"]]
    answer = client.get(f"/api/jobs/{job}/notices").json["notices"]
    assert [(one["code"], one["can_settle"]) for one in answer] == [
        ("lot-recalled", False),
        ("tool-not-calibrated", True),
    ]


def test_a_tool_that_was_retired_before_a_job_speaks_against_it(shop, open_client):
    client, before = open_client(shop.owner), job_with_the_wrench(shop)
    days = {"tool": "TW-2", "on": "2020-01-01", "due": "2099-01-01"}
    shop.push(shop.owner.write("tool.calibrated", days))
    shop.push(shop.owner.write("tool.retired", {"tool": "tw2", "because": "fell"}))
    after = job_with_the_wrench(shop)
    assert page(client, before) == []
    assert page(client, after) == [("tool-retired", "TW-2", False)]
    shop.push(shop.owner.write("tool.registered", WRENCH))  # it is back
    assert page(client, after) == []


def test_a_correction_changes_what_a_tool_is_called(shop, open_client):
    client, job = open_client(shop.owner), job_with_the_wrench(shop)
    shop.push(
        shop.owner.write(
            "tool.corrected", WRENCH | {"label": "the short one", "because": "mixed up"}
        )
    )
    (notice,) = client.get(f"/api/jobs/{job}/notices").json["notices"]
    assert notice["message"].startswith("the short one (TW-2)")
    assert codes(client) == [["tool-not-calibrated"]]


def test_an_answer_stays_at_the_desk_until_an_owner_has_read_it(shop, open_client):
    client, job = open_client(shop.owner), job_with_the_wrench(shop)
    shop.owner.heads[job] = list(shop.phone.heads[job])
    asked = shop.owner.write("review.returned", {"step": "belt_on", "question": ref(WHY)}, job)
    shop.push(asked, blobs=(WHY,))
    shop.phone.heads[job] = list(shop.owner.heads[job])
    answer = {"question": asked.id, "words": ref(WHY)}
    shop.push(shop.phone.write("review.answered", answer, job))
    shop.owner.heads[job] = list(shop.phone.heads[job])
    (line,) = client.get("/api/desk").json["jobs"]
    assert (line["questions"], line["answered"]) == (0, 1)
    settled(shop, job, "question-answered")
    (line,) = client.get("/api/desk").json["jobs"]
    assert line["answered"] == 0
