"""
Jobs kept longer than was said: which are proposed, page by page, and that nothing happens to them.
"""

from datetime import timedelta

import pytest
from click.testing import CliRunner

from twoturns.cli import main
from twoturns.store import as_text
from workshop import NOON

OLD = NOON - timedelta(days=400)


@pytest.fixture
def owner(workshop):
    return workshop.enrol("owner")


@pytest.fixture
def ask(open_client, owner):
    client = open_client(owner)
    return lambda query="": client.get(f"/api/retention{query}").json


def old_job(workshop, phone, days=400):
    """A job that ended, of which nothing was heard for so many days."""
    now, workshop.now = workshop.now, NOON - timedelta(days=days)
    job = workshop.open_job(phone)
    workshop.push(phone.write("job.closed", {"end": "stopped"}, job=job))
    workshop.now = now
    return job


def say(workshop, owner, days):
    workshop.push(owner.write("retention.set", {"days": days}))


def test_where_nobody_said_how_long_nothing_is_proposed(workshop, ask):
    old_job(workshop, workshop.enrol("mechanic"))
    assert ask() == {"days": None, "jobs": [], "next": None}


def test_what_is_kept_longer_is_proposed_the_longest_kept_first(workshop, owner, ask):
    phone = workshop.enrol("mechanic")
    first, second = old_job(workshop, phone), old_job(workshop, phone, 390)
    workshop.open_job(phone)
    say(workshop, owner, 365)
    assert [row["job"] for row in ask()["jobs"]] == [first, second]
    assert ask()["jobs"][0]["plate"] == "WEIR 12"
    assert ask()["jobs"][0]["last_received"] == as_text(OLD)
    page = ask("?most=1")
    assert [row["job"] for row in page["jobs"]] == [first]
    page = ask(f"?most=1&after={page['next']}")
    assert ([row["job"] for row in page["jobs"]], page["next"]) == ([second], None)


def test_a_job_in_work_or_parked_is_not_proposed_however_long_it_stands(workshop, owner, ask):
    phone = workshop.enrol("mechanic")
    now, workshop.now = workshop.now, OLD
    workshop.open_job(phone)  # in work
    parked, again = (workshop.open_job(phone) for _ in range(2))
    workshop.push(phone.write("job.parked", {"why": "part", "part": "seal 4.2"}, job=parked))
    workshop.push(phone.write("job.closed", {"end": "stopped"}, job=again))
    workshop.push(phone.write("step.begun", {"step": "one"}, job=again))
    workshop.now = now
    ended = old_job(workshop, phone)
    say(workshop, owner, 365)
    assert [row["job"] for row in ask()["jobs"]] == [ended]


def test_what_was_said_last_holds(workshop, owner, ask):
    old_job(workshop, workshop.enrol("mechanic"))
    say(workshop, owner, 365)
    say(workshop, owner, 3650)
    assert ask() == {"days": 3650, "jobs": [], "next": None}


def test_a_job_whose_values_are_ordered_erased_is_proposed_no_more_but_after_a_withdrawal(
    workshop, owner, ask
):
    job = old_job(workshop, workshop.enrol("mechanic"))
    say(workshop, owner, 365)
    row = workshop.store.views.job(job)
    blobs = [row["vin_blob"], row["plate_blob"]]
    one = owner.write("erasure.ordered", {"blobs": blobs[:1], "reason": "old", "basis": "law"})
    workshop.push(one)
    assert ask()["jobs"] != [], "the plate is still here"
    rest = owner.write("erasure.ordered", {"blobs": blobs[1:], "reason": "old", "basis": "law"})
    workshop.push(rest)
    assert ask()["jobs"] == []
    workshop.push(owner.write("erasure.withdrawn", {"order": rest.id, "because": "a dispute"}))
    assert [row["job"] for row in ask()["jobs"]] == [job]


def test_nothing_is_erased_by_it(workshop, owner, ask):
    job = old_job(workshop, workshop.enrol("mechanic"))
    say(workshop, owner, 1)
    ask()
    workshop.store.erasing.carry_out_orders(NOON + timedelta(days=900))
    assert workshop.store.views.erased() == []
    assert workshop.store.views.job(job)["plate"] == "WEIR 12"


@pytest.mark.parametrize("role", ["mechanic", "auditor"])
def test_nobody_but_owners_is_told(workshop, open_client, role):
    assert open_client(workshop.enrol(role)).get("/api/retention").status_code == 404


def run(workshop, *more):
    return CliRunner().invoke(main, ["retention", *more, "--data", str(workshop.folder)])


def test_the_command_says_how_long_and_lists_what_is_kept_longer(workshop):
    job = old_job(workshop, workshop.enrol("mechanic"))
    result = run(workshop, "due")
    assert (result.exit_code, "retention set DAYS" in result.output) == (1, True)
    assert run(workshop, "set", "0").exit_code == 2
    assert "3650" in run(workshop, "set", "3650").output.replace("\u202f", "")
    assert "No job is kept longer" in run(workshop, "due").output
    run(workshop, "set", "30")
    result = run(workshop, "due")
    assert result.exit_code == 0
    assert job in result.output
    assert "twoturns erase job" in result.output


def test_days_before_the_calendar_keep_everything(workshop, open_client):
    owner = workshop.enrol("owner")
    old_job(workshop, workshop.enrol("mechanic"))
    workshop.push(owner.write("retention.set", {"days": 2**53 - 1}))
    answer = open_client(owner).get("/api/retention").json
    assert (answer["days"], answer["jobs"]) == (2**53 - 1, [])
