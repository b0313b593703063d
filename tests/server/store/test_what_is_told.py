"""
What is told costs what is told, not what is held: lists of jobs by what they have in common, and
what a desk is told of the end of jobs that it holds as open, however long it was away.
"""

import random
from itertools import pairwise

import psycopg
import pytest

from twoturns.store.bundles import publish
from twoturns.store.population import NEWEST, Asker, Wanted, listed
from twoturns.store.sight import OPEN, Desk, Scope, Sight
from twoturns.store.summaries import renew
from workshop import NOON, Workshop, opening, private_value, tiny_bundle, uuid7

pytestmark = [pytest.mark.both_ledgers, pytest.mark.slow(12)]

UNKNOWN = "unknown"  # the exception of a job whose procedure is not here
VALUES = (private_value("vin", "TT1"), private_value("plate", "W1"))


def found(workshop, most: int = 2, asker: Asker | None = None, **wanted) -> list[str]:
    """Return the jobs of a list, page by page."""
    jobs, before = [], NEWEST
    while rows := listed(workshop.store, Wanted(**wanted), asker or Asker(), before, most):
        jobs += [row["job"] for row, _ in rows]
        before = (rows[-1][0]["first_received"], jobs[-1])
    return jobs


def test_jobs_of_an_exception_are_listed_in_order_whether_or_not_they_are_folded_yet(workshop):
    ada, cleo = workshop.enrol("mechanic"), workshop.enrol("mechanic")
    jobs = [workshop.open_job((ada, cleo)[number % 2]) for number in range(6)]
    while renew(workshop.store, set()):
        pass
    workshop.push(ada.write("job.taken", {}, jobs[2]), cleo.write("job.taken", {}, jobs[5]))
    jobs.append(workshop.open_job(ada))
    assert [row["job"] for row in workshop.store.views.unfolded()] == sorted(
        [jobs[2], jobs[5], jobs[6]]
    )
    for _ in range(2):
        assert found(workshop, exception=UNKNOWN) == jobs[::-1]
        assert found(workshop, exception=UNKNOWN, person=cleo.person) == [jobs[5], jobs[3], jobs[1]]
        assert found(workshop, exception="failed") == []
        scope = Scope((jobs[1], jobs[6]), "2026-01-01", "2099-12-31", None, ada.id)
        of_scope = Asker(scope)
        assert found(workshop, asker=of_scope, exception=UNKNOWN) == [jobs[6], jobs[1]]
        assert found(workshop, asker=of_scope, person=cleo.person) == [jobs[1]]
        while renew(workshop.store, set()):
            pass


def test_an_exception_that_a_job_has_no_longer_lists_it_no_longer(workshop):
    phone, job = workshop.enrol("mechanic"), uuid7()
    body = opening(*VALUES, bundle=tiny_bundle().sha256)
    workshop.push(phone.write("job.opened", body, job))
    renew(workshop.store, set())
    assert found(workshop, exception=UNKNOWN) == [job]
    publish(workshop.store, tiny_bundle(), NOON)
    renew(workshop.store, set())
    assert found(workshop, exception=UNKNOWN) == []
    assert found(workshop, person=phone.person) == [job]


# Jobs that a desk holds as open.

HELD = """
select job from jobs where :upto_told > 0 and ended >= :since and exists (
    select 1 from entries where entries.job = jobs.job and shown < :upto_told)
"""


def test_the_jobs_that_ended_behind_a_place_are_those_that_began_before_it(workshop):
    """Against all jobs, each asked for its entries; with seeds, so that it is repeated alike."""
    phone, chance = workshop.enrol("mechanic"), random.Random(17)
    is_open, size = list[str](), workshop.store.ledger.size()
    for _ in range(160):
        if is_open and chance.random() < 0.5:
            # Mostly the last one: some stay open for very long.
            job = is_open.pop(-1 if chance.random() < 0.7 else 0)
            workshop.push(phone.write("job.closed", {"end": "finished"}, job))
            if chance.random() < 0.2:
                workshop.push(phone.write("step.begun", {"step": "belt_off"}, job))
                is_open.append(job)
        else:
            is_open.append(job := uuid7())
            workshop.push(phone.write("job.opened", opening(*VALUES), job))
    head, told = workshop.store.ledger.size(), 0
    for _ in range(200):
        since, upto = chance.randrange(size, head), chance.choice([0, chance.randrange(size, head)])
        asked = {"since": since, "upto_told": upto}
        expected = {row["job"] for row in workshop.store.database.rows(HELD, asked)}
        desk = Desk(phone.id, Sight(phone.id, since="~"), upto)
        sql = desk.listed[desk.listed.index("union select job from jobs\nwhere lasted") :]
        rows = workshop.store.database.rows(sql.removeprefix("union"), asked)
        assert sorted(row["job"] for row in rows) == sorted(expected)
        told += len(expected)
    assert told > 200


# What it costs, by SQLite's own count of the instructions that it runs; times would measure the
# machine. How PostgreSQL reads the same is in `test_plans`.

FEW, MANY = 200, 4_000
PER_CALL = 50


def grow(workshop, phone, jobs: range) -> None:
    """Have rows of jobs that came and went, one after the other, each with one exception."""
    with workshop.store.database.write() as db:
        for number in jobs:
            job, at = uuid7(), f"2026-11-24T12:00:00.{number:09}Z"
            place = 1_000 + 5 * number
            db.execute(_JOB, [job, place, at, place + 4, at, place + 4, place + 4, 4, "", place])
            db.execute("insert into workers values (?, ?, ?)", [phone.person, at, job])
            db.execute("insert into exceptions values ('clock', ?, ?)", [at, job])


_JOB = """
insert into jobs (job, first_index, first_received, last_index, last_received, closed, ended,
    lasted, ruled, changed) values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
"""


def instructions(workshop, ask) -> int:
    """Return how many of its instructions, in fifties, SQLite runs for what is asked."""
    counted = [0]

    def count() -> None:
        counted[0] += 1

    connection = workshop.store.database.connection().conn
    connection.set_progress_handler(count, PER_CALL)
    ask()
    connection.set_progress_handler(None, 0)
    return counted[0]


@pytest.mark.embedded("it counts SQLite's instructions")
def test_neither_a_list_nor_what_is_told_after_an_absence_costs_more_where_more_is_held(workshop):
    phone = workshop.enrol("mechanic")
    held = workshop.open_job(phone)
    size = workshop.store.ledger.size()
    desk = Desk(phone.id, Sight(phone.id, since="~"), size)
    asker, days = Asker(), ("2026-11-24", "2026-11-24")
    of_days = Asker(Scope(None, *days, None, phone.id))
    asked = {
        "an exception that no job has": lambda: found_first(workshop, asker, exception="failed"),
        "an exception": lambda: found_first(workshop, asker, exception="clock"),
        "a person": lambda: found_first(workshop, asker, person=phone.person),
        "both, by days": lambda: found_first(
            workshop, of_days, exception="clock", person=phone.person, days=days
        ),
        "after an absence": lambda: workshop.store.pages.page(size, limit=100, sight=desk),
    }
    workshop.push(phone.write("job.closed", {"end": "finished"}, held))
    costs = []
    for jobs in (range(FEW), range(FEW, MANY)):
        grow(workshop, phone, jobs)
        costs.append({name: instructions(workshop, ask) for name, ask in asked.items()})
    few, many = costs
    assert {name: count for name, count in many.items() if count > 1.5 * few[name] + 5} == {}
    assert len(found_first(workshop, asker, exception="clock")) == 50


def found_first(workshop, asker: Asker, **wanted) -> list[str]:
    rows = listed(workshop.store, Wanted(**wanted), asker, most=50)
    assert all(one > other for one, other in pairwise(row["first_received"] for row, _ in rows))
    return [row["job"] for row, _ in rows]


@pytest.mark.embedded("it says itself where its workshop lies")
def test_postgresql_knows_how_few_jobs_are_open(postgres, tmp_path):
    """Else it finds their entries by going through all that there are: 41 times as long at 5 M."""
    ledger = postgres.new_ledger()
    workshop = Workshop(tmp_path / "data", ledger=ledger)
    phone = workshop.enrol("mechanic")
    for _ in range(3):
        workshop.open_job(phone)
    grow(workshop, phone, range(MANY))
    with psycopg.connect(postgres.admin_url) as connection:
        connection.execute(f"set search_path to {ledger.rpartition('=')[2]}")
        connection.execute("analyze jobs")
        sql = f"explain (format json) select job from jobs where {OPEN}"
        [plan] = connection.execute(sql.encode()).fetchone()
    assert plan[0]["Plan"]["Plan Rows"] <= 30
